"""Boards cut to the face: heights, pieces above and below openings, cut-outs, columns of several boards. Rules B3 and B4.

A piece has plumb sides and a foot and a top of straight lines; only stud lines divide boards sideways, however a ceiling runs.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from service.engine.boards.columns import Column
from service.engine.boards.face import Face, FaceCut
from service.engine.geometry.runs import WallSpan
from service.engine.parameters import Parameters
from service.engine.units import EPSILON

LEAST_PIECE_MM = 300.0
"""B4: no piece of a column is lower than this."""


@dataclass(frozen=True, slots=True)
class Edge:
    """The foot or top of a piece: points from left to right, joined by straight lines."""

    points: tuple[tuple[float, float], ...]

    @classmethod
    def straight(cls, a: float, b: float, y0: float, y1: float) -> "Edge":
        return cls(((a, y0), (b, y1)))

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

    def at(self, x: float) -> float:
        for (xa, ya), (xb, yb) in pairwise(self.points):
            if x <= xb:
                return ya if ya == yb or xb == xa else ya + (yb - ya) * (x - xa) / (xb - xa)
        return self.y1_mm

    def between(self, a: float, b: float) -> "Edge":
        inner = [(x, y) for x, y in self.points if a + EPSILON < x < b - EPSILON]
        return Edge(((a, self.at(a)), *inner, (b, self.at(b))))

    def crossings(self, y: float) -> list[float]:
        """Where the edge passes height y inside one of its parts."""
        return [
            xa + (xb - xa) * (y - ya) / (yb - ya)
            for (xa, ya), (xb, yb) in pairwise(self.points)
            if min(ya, yb) + EPSILON < y < max(ya, yb) - EPSILON
        ]

    def held(self, y: float, *, below: bool) -> "Edge":
        """The edge, and height y where it would lie above it (`below`) or under it."""
        xs = sorted({*(x for x, _ in self.points), *self.crossings(y)})
        pick = min if below else max
        points = [(x, pick(self.at(x), y)) for x in xs]
        kept = [q for n, q in enumerate(points) if n in (0, len(points) - 1) or not points[n - 1][1] == q[1] == points[n + 1][1]]
        return Edge(tuple(kept))

    def level_parts(self) -> list[tuple[float, float, float]]:
        """Its level parts: from, to, height."""
        return [(xa, xb, ya) for (xa, ya), (xb, yb) in pairwise(self.points) if ya == yb]


@dataclass(slots=True, eq=False)
class BoardPiece:
    """A piece of board in the run's x, before it has a name: foot and top edge, and what openings take out of it."""

    column: Column
    span: WallSpan
    foot: Edge
    top: Edge
    rules: tuple[str, ...]
    cuts: list[FaceCut] = field(default_factory=list)

    @property
    def x0_mm(self) -> float:
        return self.foot.x0_mm

    @property
    def x1_mm(self) -> float:
        return self.foot.x1_mm

    @property
    def y0_mm(self) -> float:
        return min(y for _, y in self.foot.points)

    @property
    def y1_mm(self) -> float:
        return max(y for _, y in self.top.points)

    def parts_at(self, x: float) -> list[tuple[float, float]]:
        """The heights over which there is board at x, cut-outs left out."""
        parts = [(self.foot.at(x), self.top.at(x))]
        for cut in self.cuts:
            if cut.x0_mm + EPSILON < x < cut.x1_mm - EPSILON:
                parts = [part for a, b in parts for part in ((a, min(b, cut.y0_mm)), (max(a, cut.y1_mm), b)) if part[1] > part[0]]
        return parts

    @property
    def divided(self) -> bool:
        """Whether an opening's cut-out reaches the ceiling at one of its sides only, under a rake: the piece falls in two."""
        return any(_is_through(self, c, x) for c in self.cuts for x in (max(self.x0_mm, c.x0_mm), min(self.x1_mm, c.x1_mm)))

    @property
    def area_mm2(self) -> float:
        """Exact: between the points where edges bend or cross a cut-out's, all is straight."""
        return self._between(self.x0_mm, self.x1_mm, None) - sum(
            self._between(max(cut.x0_mm, self.x0_mm), min(cut.x1_mm, self.x1_mm), cut) for cut in self.cuts
        )

    def _between(self, a: float, b: float, cut: FaceCut | None) -> float:
        """Area from a to b, of the piece or of what a cut-out takes from it."""
        low, high = (-float("inf"), float("inf")) if cut is None else (cut.y0_mm, cut.y1_mm)
        bends = {x for edge in (self.foot, self.top) for x, _ in edge.points}
        bends |= {x for edge in (self.foot, self.top) for y in (low, high) for x in edge.crossings(y)}
        xs = sorted({a, b, *(x for x in bends if a < x < b)})
        tall = [max(0.0, min(high, self.top.at(x)) - max(low, self.foot.at(x))) for x in xs]
        return sum((v - u) * (s + t) / 2 for (u, v), (s, t) in zip(pairwise(xs), pairwise(tall), strict=True))


def pieces_of(face: Face, column: Column, longest_mm: float, p: Parameters) -> list[BoardPiece]:
    """The boards of a column, from left to right and upwards. Args: longest_mm: of the longest board."""
    pieces: list[BoardPiece] = []
    run = face.lined.stretch.run
    for a, b in face.level_parts(column.x0_mm, column.x1_mm):
        span = run.span_at((a + b) / 2)
        foot = Edge.straight(a, b, span.floor_at(a) + p.board_floor_gap_mm, span.floor_at(b) + p.board_floor_gap_mm)
        top = Edge.straight(a, b, span.ceiling_at(a), span.ceiling_at(b))
        whole = BoardPiece(column, run.span_at(a), foot, top, ("B1", "B2", "B3"))
        for band in _around(whole, [cut for cut in face.cuts if cut.x0_mm < b - EPSILON and cut.x1_mm > a + EPSILON]):
            pieces += _boards_high(band, longest_mm)
    return pieces


def _around(piece: BoardPiece, cuts: list[FaceCut]) -> list[BoardPiece]:
    """Divides a piece at openings across its whole width or its whole height; other openings become cut-outs."""
    a, b = piece.x0_mm, piece.x1_mm
    for cut in cuts:
        others = [other for other in cuts if other is not cut]
        if cut.x0_mm <= a + EPSILON and cut.x1_mm >= b - EPSILON:
            below = _part(piece, a, b, high=cut.y0_mm)
            above = _part(piece, a, b, low=cut.y1_mm)
            return [q for part in (below, above) if part for q in _around(part, _within(part, others))]
        if all(_is_through(piece, cut, x) for x in (max(a, cut.x0_mm), min(b, cut.x1_mm))):
            left, right = _part(piece, a, max(a, cut.x0_mm)), _part(piece, min(b, cut.x1_mm), b)
            return [q for part in (left, right) if part for q in _around(part, _within(part, others))]
    piece.cuts = sorted(cuts, key=lambda c: (c.x0_mm, c.y0_mm))
    return [piece]


def _is_through(piece: BoardPiece, cut: FaceCut, x: float) -> bool:
    """Whether the cut-out leaves nothing of the piece at x."""
    return cut.y0_mm <= piece.foot.at(x) + EPSILON and cut.y1_mm >= piece.top.at(x) - EPSILON


def _within(piece: BoardPiece, cuts: list[FaceCut]) -> list[FaceCut]:
    return [
        c
        for c in cuts
        if c.x0_mm < piece.x1_mm - EPSILON
        and c.x1_mm > piece.x0_mm + EPSILON
        and c.y0_mm < piece.y1_mm - EPSILON
        and c.y1_mm > piece.y0_mm + EPSILON
    ]


def _part(piece: BoardPiece, a: float, b: float, low: float | None = None, high: float | None = None) -> BoardPiece | None:
    """The piece between a and b, and from `low` to `high` where given; None when nothing is left."""
    if b - a <= EPSILON:
        return None
    foot, top = piece.foot.between(a, b), piece.top.between(a, b)
    foot = foot if low is None else foot.held(low, below=False)
    top = top if high is None else top.held(high, below=True)
    xs = sorted({x for edge in (foot, top) for x, _ in edge.points})
    tall = [top.at(x) - foot.at(x) for x in xs]
    if max(tall) <= EPSILON:
        return None
    if min(tall[0], tall[-1]) < -EPSILON or tall[0] <= EPSILON or tall[-1] <= EPSILON:  # it ends in a point before a or b
        u, v = _where_tall(xs, tall)
        foot, top = foot.between(u, v), top.between(u, v)
    return BoardPiece(piece.column, piece.span, foot, top, piece.rules)


def _where_tall(xs: list[float], tall: list[float]) -> tuple[float, float]:
    """From the first to the last point at which there is board."""
    ends = [x for x, t in zip(xs, tall, strict=True) if t > EPSILON]
    for (u, v), (s, t) in zip(pairwise(xs), pairwise(tall), strict=True):
        if (s > EPSILON) != (t > EPSILON):
            ends.append(u + (v - u) * s / (s - t))
    return min(ends), max(ends)


def _boards_high(piece: BoardPiece, longest: float) -> Iterator[BoardPiece]:
    """B4: a piece taller than the longest board is made up of several, with its horizontal joints."""
    if piece.y1_mm - piece.y0_mm <= longest + EPSILON:
        yield piece
        return
    joints = joint_heights(piece.y0_mm, piece.y1_mm, longest, from_foot=piece.column.number % 2 == 1)
    for low, high in zip([None, *joints], [*joints, None], strict=True):
        part = _part(piece, piece.x0_mm, piece.x1_mm, low, high)
        if part is not None:
            part.rules = (*piece.rules, "B4")
            yield from _around(part, _within(part, piece.cuts))


def joint_heights(low: float, high: float, longest: float, *, from_foot: bool) -> list[float]:
    """Heights of the horizontal joints: full boards from the foot or from the top, the last one made up to 300."""
    lengths, rest = [], high - low
    while rest > longest + EPSILON:
        lengths.append(longest)
        rest -= longest
    if lengths and rest < LEAST_PIECE_MM:
        lengths[-1] -= LEAST_PIECE_MM - rest
    heights, y = [], low if from_foot else high
    for length in lengths:
        y += length if from_foot else -length
        heights.append(y)
    return sorted(heights)
