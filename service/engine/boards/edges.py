"""The foot or top of a board: a line from left to right that may slope, bend where a ceiling does, and step."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from service.engine.units import EPSILON

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Edge:
    """Points from left to right, joined by straight lines; two points of the same x are a step, never at its ends."""

    points: tuple[Point, ...]

    @classmethod
    def through(cls, points: Iterable[Point]) -> "Edge":
        """The edge along these points, without those that change nothing."""
        kept: list[Point] = []
        for point in points:
            if kept and _near(kept[-1], point):
                continue
            while len(kept) > 1 and _in_line(kept[-2], kept[-1], point):
                kept.pop()
            kept.append(point)
        return cls(tuple(kept))

    @property
    def x0_mm(self) -> float:
        return self.points[0][0]

    @property
    def x1_mm(self) -> float:
        return self.points[-1][0]

    @property
    def y0_mm(self) -> float:
        return self.points[0][1]

    @property
    def y1_mm(self) -> float:
        return self.points[-1][1]

    def over(self, a: float, b: float) -> tuple[float, float]:
        """Its heights at a and b, where no bend or step lies between the two."""
        start, end = self._line_at((a + b) / 2)
        return _height(start, end, a), _height(start, end, b)

    def at(self, x: float) -> float:
        """Its height at x; at a step that of its left side."""
        return _height(*self._line_at(x), x)

    def _line_at(self, x: float) -> tuple[Point, Point]:
        for start, end in pairwise(self.points):
            if start[0] < end[0] and x <= end[0]:
                return start, end
        return self.points[-2], self.points[-1]

    def between(self, a: float, b: float) -> "Edge":
        """The part from a to b, which lie on it."""
        points: list[Point] = []
        for start, end in pairwise(self.points):
            u, v = max(a, start[0]), min(b, end[0])
            if v - u > EPSILON:
                points += [(u, _height(start, end, u)), (v, _height(start, end, v))]
        return Edge.through([(a, points[0][1]), *points[1:-1], (b, points[-1][1])])

    def crossings(self, y: float) -> list[float]:
        """Where the edge passes height y inside one of its lines."""
        return [x for line in pairwise(self.points) for x, _ in _crossing(*line, y)]

    def held(self, y: float, *, below: bool) -> "Edge":
        """The edge, and height y where it would lie above it (`below`) or under it."""
        points = [self.points[0]]
        for start, end in pairwise(self.points):
            points += [*_crossing(start, end, y), end]
        return Edge.through((x, y if (at > y - EPSILON if below else at < y + EPSILON) else at) for x, at in points)

    def level_parts(self) -> list[tuple[float, float, float]]:
        """Its level parts: from, to, height."""
        return [(xa, xb, ya) for (xa, ya), (xb, yb) in pairwise(self.points) if abs(ya - yb) < EPSILON < xb - xa]


def _height(start: Point, end: Point, x: float) -> float:
    (xa, ya), (xb, yb) = start, end
    if x == xb:
        return yb
    return ya if x == xa or ya == yb else ya + (yb - ya) * (x - xa) / (xb - xa)


def _crossing(start: Point, end: Point, y: float) -> list[Point]:
    (xa, ya), (xb, yb) = start, end
    if not min(ya, yb) + EPSILON < y < max(ya, yb) - EPSILON:
        return []
    return [(xa + (xb - xa) * (y - ya) / (yb - ya), y)]


def _near(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) < EPSILON and abs(one[1] - other[1]) < EPSILON


def _in_line(one: Point, middle: Point, other: Point) -> bool:
    """Whether the middle point lies on the way from one to the other; on a step they share their x."""
    if other[0] - one[0] < EPSILON:
        return min(one[1], other[1]) <= middle[1] <= max(one[1], other[1])
    steps = middle[0] - one[0] < EPSILON or other[0] - middle[0] < EPSILON
    return not steps and abs(_height(one, other, middle[0]) - middle[1]) < EPSILON
