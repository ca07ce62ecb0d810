"""What makes the membrane tight: lap tape and double-sided tape (M3), sealant (M4), in metres.

Sealant is metres of bead; how many a tube gives is the item's yield.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import PlacedOpening
from service.engine.geometry.strips import on_frame
from service.engine.membrane.drops import Drop
from service.engine.membrane.metres import Metres
from service.engine.membrane.reveal_strips import OpeningEdges
from service.engine.parameters import Parameters
from service.engine.results import FlatPiece, Usage
from service.vocabulary import Component, EndKind

LEAST_CHANNEL_MM = 1.0
"""No channel is cut shorter than this, so none is sealed."""


@dataclass(frozen=True, slots=True)
class Hung:
    """A drop with the pieces that it was cut as, and their ids."""

    drop: Drop
    pieces: list[FlatPiece]
    ids: list[str]


def seals(
    lined: LinedStretch, hung: list[Hung], strips: list[FlatPiece], edges: list[OpeningEdges], p: Parameters
) -> list[Usage]:
    """Every tape and bead of a stretch, wall by wall, in the order in which they are applied."""
    floor, ceiling = _along_channel(lined, hung, ceiling=False), _along_channel(lined, hung, ceiling=True)
    kinds = [
        replace(ceiling, component=Component.DOUBLE_SIDED_TAPE, rules=("C1", "M3")),
        _laps(lined, hung, p),
        _corner(lined, hung, p),
        _strips(strips),
        _round_openings(edges, hung),
        floor,
        ceiling,
        _ends(lined, hung),
    ]
    usages = [usage for kind in kinds for usage in kind.usages(lined.room)]
    return sorted(usages, key=lambda usage: usage.wall)


def _behind(hung: list[Hung], a: float, b: float) -> list[str]:
    """The drops that hang between a and b."""
    return [i for h in hung if h.drop.x0_mm < b and h.drop.x1_mm > a for i in h.ids]


def _laps(lined: LinedStretch, hung: list[Hung], p: Parameters) -> Metres:
    """Every lap is as long as the drops are there, oversize and all."""
    stretch, found = lined.stretch, Metres(Component.LAP_TAPE, "laps between drops", ("M1", "M3"))
    for left, right in pairwise(hung):
        a, b = on_frame(stretch, right.drop.x0_mm, left.drop.x1_mm)
        length = stretch.run.greatest_height(a, b) + p.membrane_oversize_mm
        found.add(stretch.span_at(a).ordinal, length, left.ids + right.ids)
    for h in hung:
        for piece in h.pieces[1:]:
            found.add(piece.wall, piece.width_mm, h.ids)
    return found


def _corner(lined: LinedStretch, hung: list[Hung], p: Parameters) -> Metres:
    """The lap at a corner of two linings, once, with its left-hand wall, as high as the lower of the two."""
    stretch, found = lined.stretch, Metres(Component.LAP_TAPE, "lap at the corner", ("M1", "M3"))
    end = stretch.right
    if end is not None and lined.meets_right and end.neighbour_wall is not None:
        height = min(stretch.run.spans[-1].wall.height_right_mm, end.neighbour_wall.height_left_mm)
        found.add(stretch.span_at(stretch.x1_mm).ordinal, height + p.membrane_oversize_mm, hung[-1].ids)
    return found


def _strips(strips: list[FlatPiece]) -> Metres:
    found = Metres(Component.LAP_TAPE, "strips into reveals", ("M2", "M3"))
    for strip in strips:
        found.add(strip.wall, strip.length_mm, [strip.id])
    return found


def _round_openings(edges: list[OpeningEdges], hung: list[Hung]) -> Metres:
    found = Metres(Component.LAP_TAPE, "round openings", ("M3",))
    for edge in edges:
        o, drops = edge.placed, _behind(hung, edge.placed.left_mm, edge.placed.right_mm)
        for side in (edge.left_jamb_mm, edge.right_jamb_mm, edge.head_mm, 0.0 if o.reaches_floor else edge.sill_mm):
            found.add(o.wall, side, drops)
    return found


def _along_channel(lined: LinedStretch, hung: list[Hung], *, ceiling: bool) -> Metres:
    """A bead along C1's channel, wall by wall and with its slope; openings that reach it leave gaps."""
    stretch, found = lined.stretch, Metres(Component.SEALANT, "ceiling channel" if ceiling else "floor channel", ("C1", "M4"))
    for a, b in _free(stretch.channel_x0_mm, stretch.channel_x1_mm, stretch.run.openings, ceiling=ceiling):
        for span, u, v in stretch.run.pieces_between(a, b):
            slope = span.ceiling_slope if ceiling else span.floor_slope
            found.add(stretch.span_at(u).ordinal, (v - u) * math.hypot(1.0, slope), _behind(hung, u, v))
    return found


def _free(a: float, b: float, openings: tuple[PlacedOpening, ...], *, ceiling: bool) -> list[tuple[float, float]]:
    free = [(a, b)]
    for o in openings:
        if o.reaches_ceiling if ceiling else o.reaches_floor:
            sides = [side for u, v in free for side in ((u, min(v, o.left_mm)), (max(u, o.right_mm), v))]
            free = [(u, v) for u, v in sides if v - u >= LEAST_CHANNEL_MM]
    return free


def _ends(lined: LinedStretch, hung: list[Hung]) -> Metres:
    """The height at every end against an unlined wall, a stop end, or a corner where the other lining could not be set out."""
    stretch, found = lined.stretch, Metres(Component.SEALANT, "ends", ("M4",))
    sides = (
        (stretch.left, lined.meets_left, stretch.x0_mm, hung[0]),
        (stretch.right, lined.meets_right, stretch.x1_mm, hung[-1]),
    )
    for end, meets, x, last in sides:
        if end is not None and not meets and end.kind is not EndKind.STEP:
            found.add(stretch.span_at(x).ordinal, stretch.run.greatest_height(x, x), last.ids)
    return found
