"""Upright strips of a stretch, as soft materials are cut to them, and the wall that a strip belongs to."""

from dataclasses import dataclass

from service.engine.geometry.runs import Run, Stretch
from service.engine.units import EPSILON, ceil_div


@dataclass(frozen=True, slots=True)
class Strip:
    """What lies between two upright lines, from the floor or a level up to the ceiling or a level. x in the run's x.

    `y_mm`: the lowest point. The rest counts from there: `length_mm` to the highest point, `foot_*` and `top_*` to the lower
    and upper end of each edge. `area_mm2` follows floor and ceiling where they bend within the strip.
    """

    x0_mm: float
    x1_mm: float
    y_mm: float
    length_mm: float
    foot_left_mm: float
    foot_right_mm: float
    top_left_mm: float
    top_right_mm: float
    area_mm2: float

    @property
    def width_mm(self) -> float:
        return self.x1_mm - self.x0_mm


def strip_of(run: Run, x0: float, x1: float, bottom: float | None = None, top: float | None = None) -> Strip | None:
    """The strip from x0 to x1 between two levels, None being floor and ceiling; None where it has no height.

    It is as long as from its lowest point to its highest. That is the greatest height over it wherever floor or ceiling is
    level; where both slope, as along a flight of stairs, a strip of that height alone would not reach both.
    """
    feet: list[float] = []
    tops: list[float] = []
    area = 0.0
    for span, a, b in run.pieces_between(x0, x1):
        foot_a, foot_b = (span.floor_at(a), span.floor_at(b)) if bottom is None else (bottom, bottom)
        top_a, top_b = (span.ceiling_at(a), span.ceiling_at(b)) if top is None else (top, top)
        top_a, top_b = max(foot_a, top_a), max(foot_b, top_b)
        feet += foot_a, foot_b
        tops += top_a, top_b
        area += (b - a) * (top_a - foot_a + top_b - foot_b) / 2
    low = min(feet)
    if max(top - foot for foot, top in zip(feet, tops, strict=True)) <= EPSILON:
        return None
    return Strip(x0, x1, low, max(tops) - low, feet[0] - low, feet[-1] - low, tops[0] - low, tops[-1] - low, area)


def on_frame(stretch: Stretch, a: float, b: float) -> tuple[float, float]:
    """What of [a, b] lies over the frame line; for what has turned round an end, that end: the room is as high there."""
    u, v = (min(max(x, stretch.x0_mm), stretch.x1_mm) for x in (a, b))
    return (u, v) if v - u > EPSILON else (u, u)


@dataclass(frozen=True, slots=True)
class Part:
    """A strip, or one of `of` pieces that make it up, from `y_mm` above the strip's lowest point; edges count from there."""

    of: int
    y_mm: float
    length_mm: float
    foot_left_mm: float
    foot_right_mm: float
    top_left_mm: float
    top_right_mm: float
    area_mm2: float


def parts_of(strip: Strip, oversize_mm: float, longest_mm: float, lap_mm: float = 0.0) -> list[Part]:
    """The strip cut `oversize_mm` longer, in as few pieces as the roll's length allows, all of one length, each lapping the next.

    A slope that passes from one piece into the next is trimmed in place: both are cut square there.
    """
    length, above = strip.length_mm + oversize_mm, (strip.top_left_mm + oversize_mm, strip.top_right_mm + oversize_mm)
    if length <= longest_mm + EPSILON:
        area = strip.area_mm2 + strip.width_mm * oversize_mm
        return [Part(1, 0.0, length, strip.foot_left_mm, strip.foot_right_mm, *above, area)]
    count = ceil_div(length - lap_mm, max(longest_mm - lap_mm, 1.0))
    each = (length + (count - 1) * lap_mm) / count
    parts = []
    for n in range(count):
        y = n * (each - lap_mm)
        feet = _within(strip.foot_left_mm - y, strip.foot_right_mm - y, each, square=0.0)
        tops = _within(above[0] - y, above[1] - y, each, square=each)
        area = strip.width_mm * (sum(tops) - sum(feet)) / 2
        parts.append(Part(count, y, each, *feet, *tops, area))
    return parts


def _within(left: float, right: float, length: float, square: float) -> tuple[float, float]:
    """Both edges kept within a piece; `square` for both where only one of them goes past the piece's end there."""
    a, b = (min(max(edge, 0.0), length) for edge in (left, right))
    beyond = left > length or right > length if square else left < 0 or right < 0
    return (square, square) if beyond else (a, b)
