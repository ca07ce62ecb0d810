"""Which parts of a board hang together once openings are cut out of it: between foot, top and cut-outs all lines are straight.

A board is read in slabs: upright bands between all x where a line bends, begins, ends or passes another one. In each slab it is
a few strips one above the other; strips of neighbouring slabs that share more than a point belong to one part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.engine.boards.edges import Edge
from service.engine.boards.face import FaceCut
from service.engine.units import EPSILON

Ends = tuple[float, float]
"""Heights of a line at the left-hand and right-hand end of a slab."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A trapezium of board between x0 and x1."""

    x0_mm: float
    x1_mm: float
    low: Ends
    high: Ends

    @property
    def area_mm2(self) -> float:
        return (self.x1_mm - self.x0_mm) * (sum(self.high) - sum(self.low)) / 2

    def joins(self, right: "Strip") -> bool:
        """Whether the strip of the next slab hangs together with this one."""
        return min(self.high[1], right.high[0]) - max(self.low[1], right.low[0]) > EPSILON


@dataclass(frozen=True, slots=True)
class Part:
    """A connected part of a board: the box around it and its area."""

    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float
    area_mm2: float


def strips_of(foot: Edge, top: Edge, cuts: Sequence[FaceCut]) -> list[list[Strip]]:
    """The strips of board in each slab, slabs from left to right and strips upwards."""
    slabs = []
    for u, v in pairwise(_turns(foot, top, cuts)):
        if v - u <= EPSILON:
            continue
        low, high = foot.over(u, v), top.over(u, v)
        meeting = _meeting(u, v, low, high)
        if meeting is None:
            slabs.append(_between_cuts(u, v, low, high, cuts))
            continue
        for a, b in ((u, meeting), (meeting, v)):
            if b - a > EPSILON:
                slabs.append(_between_cuts(a, b, foot.over(a, b), top.over(a, b), cuts))
    return slabs


def area_of(foot: Edge, top: Edge, cuts: Sequence[FaceCut]) -> float:
    """Exact, in mm²."""
    return sum(strip.area_mm2 for slab in strips_of(foot, top, cuts) for strip in slab)


def parts_of(foot: Edge, top: Edge, cuts: Sequence[FaceCut]) -> list[Part]:
    """The parts into which the cut-outs divide a board, from left to right and upwards."""
    groups: list[list[Strip]] = []
    before: list[Strip] = []
    for slab in strips_of(foot, top, cuts):
        for strip in slab:
            held = [left for left in before if abs(left.x1_mm - strip.x0_mm) <= EPSILON and left.joins(strip)]
            mine = [group for group in groups if any(left in group for left in held)]
            groups = [group for group in groups if group not in mine] + [[*(s for group in mine for s in group), strip]]
        before = slab
    return sorted(map(_part, groups), key=lambda part: (part.x0_mm, part.y0_mm))


def _part(group: list[Strip]) -> Part:
    return Part(
        min(s.x0_mm for s in group), max(s.x1_mm for s in group),
        min(min(s.low) for s in group), max(max(s.high) for s in group),
        sum(s.area_mm2 for s in group),
    )  # fmt: skip


def _turns(foot: Edge, top: Edge, cuts: Sequence[FaceCut]) -> list[float]:
    """Where foot or top bends, where a cut-out begins or ends, and where foot or top passes its lower or upper edge."""
    a, b = foot.x0_mm, foot.x1_mm
    found = {x for edge in (foot, top) for x, _ in edge.points}
    found |= {x for cut in cuts for x in (cut.x0_mm, cut.x1_mm)}
    found |= {x for cut in cuts for y in (cut.y0_mm, cut.y1_mm) for edge in (foot, top) for x in edge.crossings(y)}
    return [a, *sorted(x for x in found if a < x < b), b]


def _meeting(u: float, v: float, low: Ends, high: Ends) -> float | None:
    """Where foot and top pass each other, if they do."""
    left, right = high[0] - low[0], high[1] - low[1]
    return u + (v - u) * left / (left - right) if min(left, right) < -EPSILON and max(left, right) > EPSILON else None


def _between_cuts(a: float, b: float, foot: Ends, top: Ends, cuts: Sequence[FaceCut]) -> list[Strip]:
    middle = (a + b) / 2
    free = [(foot, top)]
    for cut in cuts:
        if cut.x0_mm < middle < cut.x1_mm:
            edges = (cut.y0_mm, cut.y0_mm), (cut.y1_mm, cut.y1_mm)
            free = [
                part
                for low, high in free
                for part in ((low, min(high, edges[0], key=sum)), (max(low, edges[1], key=sum), high))
                if sum(part[1]) - sum(part[0]) > EPSILON
            ]
    return [Strip(a, b, low, high) for low, high in sorted(free) if sum(high) - sum(low) > EPSILON]
