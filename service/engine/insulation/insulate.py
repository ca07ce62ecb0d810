"""Sets out the strips of insulation of a stretch: rules I2 and I3, between the ends that I1 gives."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import PlacedOpening, WallSpan
from service.engine.geometry.strips import Part, Strip, parts_of, strip_of
from service.engine.insulation.ends import InsulationEnd, insulation_ends
from service.engine.parameters import Parameters
from service.engine.results import Finding, FlatPiece
from service.engine.units import EPSILON, ceil_div, tenth
from service.vocabulary import Component, PieceRole

Level = float | None
"""A height above the level line; None for floor or ceiling."""


@dataclass(frozen=True, slots=True)
class _Placed:
    span: WallSpan
    strip: Strip
    part: Part
    rules: tuple[str, ...]
    bevels: tuple[float, float]


def insulate(
    lined: LinedStretch, p: Parameters, roll_width_mm: int, roll_length_mm: int
) -> tuple[list[FlatPiece], list[Finding]]:
    """The pieces of insulation of one stretch, named wall by wall from left to right and upwards.

    Args: the roll's width and length. Returns: pieces in their walls' own x (none where the thickness is 0), and findings: there
    are none, since the parameters' cross-checks keep room for the insulation behind every frame.
    Source: setting-out rules I1, I2, I3, Q0.
    """
    if p.insulation_thickness_mm < EPSILON:
        return [], []
    ends = insulation_ends(lined, p)
    placed = [
        _Placed(lined.stretch.span_at(strip.x0_mm), strip, part, _rules(strip, part, ends, roll_width_mm), _bevels(strip, ends))
        for strip in _strips(lined, ends, roll_width_mm)
        for part in parts_of(strip, p.insulation_oversize_mm, roll_length_mm)
    ]
    placed.sort(key=lambda one: (one.span.ordinal, one.strip.x0_mm, one.strip.y_mm + one.part.y_mm))
    numbers: dict[int, int] = {}
    return [_piece(one, lined.room, numbers) for one in placed], []


def _strips(lined: LinedStretch, ends: tuple[InsulationEnd, InsulationEnd], roll_width: int) -> Iterator[Strip]:
    """I2: zone by zone, in each height between openings, strips of the roll's width from the left."""
    run, (x0, x1) = lined.stretch.run, (ends[0].x_mm, ends[1].x_mm)
    openings = [o for o in run.openings if o.overlaps_x(x0, x1)]
    lines = sorted({x0, x1, *(x for o in openings for x in (o.left_mm, o.right_mm) if x0 < x < x1)})
    for a, b in pairwise(lines):
        bands = list(_bands([o for o in openings if o.overlaps_x(a, b)]))
        for n in range(ceil_div(b - a, roll_width)):
            left, right = a + n * roll_width, min(b, a + (n + 1) * roll_width)
            if tenth(right - left) > 0:
                yield from (strip for low, high in bands if (strip := strip_of(run, left, right, low, high)))


def _bands(openings: list[PlacedOpening]) -> Iterator[tuple[Level, Level]]:
    """The heights that openings leave, from floor to ceiling; an edge that counts as reaching floor or ceiling leaves none."""
    low: Level = None
    open_above = True
    for o in sorted(openings, key=lambda o: o.sill_mm):
        if low is not None or not o.reaches_floor:
            yield low, o.sill_mm
        low, open_above = o.head_mm, not o.reaches_ceiling
    if open_above:
        yield low, None


def _rules(strip: Strip, part: Part, ends: tuple[InsulationEnd, InsulationEnd], roll_width: int) -> tuple[str, ...]:
    rules = ["I2"]
    if part.of > 1 or strip.width_mm < roll_width - EPSILON:
        rules.append("I3")
    at_ends = (ends[0].rules if strip.x0_mm <= ends[0].x_mm else ()) + (ends[1].rules if strip.x1_mm >= ends[1].x_mm else ())
    return (*sorted(set(at_ends)), *rules)


def _bevels(strip: Strip, ends: tuple[InsulationEnd, InsulationEnd]) -> tuple[float, float]:
    """A strip narrower than the splay at its end is cut to nothing in front."""
    left, right = ends
    return (
        min(left.bevel_mm, strip.width_mm) if strip.x0_mm <= left.x_mm else 0.0,
        min(right.bevel_mm, strip.width_mm) if strip.x1_mm >= right.x_mm else 0.0,
    )


def _piece(one: _Placed, room: int, numbers: dict[int, int]) -> FlatPiece:
    wall, strip, part = one.span.ordinal, one.strip, one.part
    numbers[wall] = numbers.get(wall, 0) + 1
    return FlatPiece(
        id=f"{room}/{wall}/{PieceRole.INSULATION.value}-{numbers[wall]:02d}",
        component=Component.INSULATION_ROLL,
        role=PieceRole.INSULATION,
        room=room,
        wall=wall,
        x_mm=strip.x0_mm - one.span.start_mm,
        y_mm=strip.y_mm + part.y_mm,
        width_mm=tenth(strip.width_mm),
        length_mm=tenth(part.length_mm),
        rules=one.rules,
        height_left_mm=tenth(part.top_left_mm),
        height_right_mm=tenth(part.top_right_mm),
        foot_left_mm=tenth(part.foot_left_mm),
        foot_right_mm=tenth(part.foot_right_mm),
        bevel_left_mm=tenth(one.bevels[0]),
        bevel_right_mm=tenth(one.bevels[1]),
        area_mm2=part.area_mm2,
    )
