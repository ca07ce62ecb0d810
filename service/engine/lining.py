"""Everything that goes on the wall, stage after stage, given to the wall on which it stands."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from service.engine.boards.board import board
from service.engine.features.place import place_features
from service.engine.findings import in_order
from service.engine.framing.frame import set_out_frame
from service.engine.geometry.lined import LinedStretch
from service.engine.inputs import Room, Sheet
from service.engine.insulation.insulate import insulate
from service.engine.junctions import junctions_of
from service.engine.membrane.drape import drape
from service.engine.parameters import Parameters
from service.engine.results import Finding, Fixings, FlatPiece, Framing, Member, Usage
from service.vocabulary import Component, Role


class OnWall(Protocol):
    @property
    def room(self) -> int: ...
    @property
    def wall(self) -> int: ...


Placed = TypeVar("Placed", bound=OnWall)


@dataclass(frozen=True, slots=True, kw_only=True)
class Materials:
    """What the stages need to know of what can be bought: bar lengths by component, and the largest sheets and rolls."""

    stock_lengths: Mapping[Component, tuple[int, ...]]
    board: Sheet
    laminate: Sheet
    insulation: Sheet
    membrane: Sheet


def line_walls(rooms: tuple[Room, ...], p: Parameters, components: Mapping[Role, Component], materials: Materials) -> Framing:
    """Sets out frame, features, insulation, membrane and boards of every lined wall, and names what closes each junction.

    Returns: one layout for each lined wall that carries a frame, in survey order, and all findings.
    """
    frame = set_out_frame(rooms, p, components, materials.stock_lengths)
    found: list[Finding] = list(frame.framing.findings)
    insulation: list[FlatPiece] = []
    membrane: list[FlatPiece] = []
    members: list[Member] = []
    fixings: list[Fixings] = []
    usages: list[Usage] = []
    stretches: list[LinedStretch] = []
    for lined in frame.lined:
        hung = place_features(lined, rooms[lined.room - 1], p, components)
        stretches.append(replace(lined, cuts=hung.cuts))
        members += hung.supports
        fixings += hung.fixings
        found += hung.findings
        pieces, more = insulate(lined, p, materials.insulation.width_mm, materials.insulation.length_mm)
        insulation += pieces
        found += more
        pieces, sealed, more = drape(lined, p, materials.membrane.width_mm, materials.membrane.length_mm)
        membrane += pieces
        usages += [*sealed, *hung.usages]
        found += more
    boarding = board(tuple(stretches), p, materials.board, materials.laminate, components)
    found += boarding.findings

    boards, reveals, insulated, draped = (_by_wall(part) for part in (boarding.boards, boarding.reveals, insulation, membrane))
    added, fixed = _by_wall([*members, *boarding.straps]), _by_wall([*fixings, *boarding.fixings])
    used = _by_wall([*usages, *boarding.usages])
    layouts = []
    for layout in frame.framing.layouts:
        key = (layout.room, layout.wall)
        whole = replace(
            layout,
            members=(*layout.members, *added.get(key, ())),
            fixings=(*layout.fixings, *fixed.get(key, ())),
            boards=tuple(boards.get(key, ())),
            reveals=tuple(reveals.get(key, ())),
            insulation=tuple(insulated.get(key, ())),
            membrane=tuple(draped.get(key, ())),
            usages=tuple(used.get(key, ())),
        )
        junctions, more = junctions_of(whole, rooms[layout.room - 1])
        found += more
        layouts.append(replace(whole, junctions=junctions))
    return Framing(layouts=tuple(layouts), findings=in_order(found))


def _by_wall(things: Iterable[Placed]) -> dict[tuple[int, int], list[Placed]]:
    found: dict[tuple[int, int], list[Placed]] = {}
    for thing in things:
        found.setdefault((thing.room, thing.wall), []).append(thing)
    return found
