"""Boards cut to the face: heights, pieces above and below openings, cut-outs, columns of several boards. Rules B3 and B4.

A column is cut into trapezoids whose upright edges are plumb: where a horizontal joint runs into a raked ceiling or a sloping
floor, the column is divided there, so that every piece has four straight edges or three.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from service.engine.boards.columns import Column
from service.engine.boards.face import Face, FaceCut
from service.engine.geometry.runs import Run, WallSpan
from service.engine.parameters import Parameters
from service.engine.units import EPSILON

LEAST_PIECE_MM = 300.0
"""B4: no piece of a column is lower than this."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight edge over x: its height at x0 and at x1."""

    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float

    def at(self, x: float) -> float:
        if self.y0_mm == self.y1_mm or self.x1_mm == self.x0_mm:
            return self.y0_mm
        return self.y0_mm + (self.y1_mm - self.y0_mm) * (x - self.x0_mm) / (self.x1_mm - self.x0_mm)

    def crossing(self, y: float) -> float | None:
        """Where the edge passes height y inside its span."""
        if min(self.y0_mm, self.y1_mm) + EPSILON < y < max(self.y0_mm, self.y1_mm) - EPSILON:
            return self.x0_mm + (self.x1_mm - self.x0_mm) * (y - self.y0_mm) / (self.y1_mm - self.y0_mm)
        return None


@dataclass(slots=True, eq=False)
class BoardPiece:
    """A piece of board in the run's x, before it has a name: foot and top edge, and what openings take out of it."""

    column: Column
    span: WallSpan
    foot: Line
    top: Line
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
        return min(self.foot.y0_mm, self.foot.y1_mm)

    @property
    def y1_mm(self) -> float:
        return max(self.top.y0_mm, self.top.y1_mm)

    def parts_at(self, x: float) -> list[tuple[float, float]]:
        """The heights over which there is board at x, cut-outs left out."""
        parts = [(self.foot.at(x), self.top.at(x))]
        for cut in self.cuts:
            if cut.x0_mm + EPSILON < x < cut.x1_mm - EPSILON:
                parts = [part for a, b in parts for part in ((a, min(b, cut.y0_mm)), (max(a, cut.y1_mm), b)) if part[1] > part[0]]
        return parts

    @property
    def area_mm2(self) -> float:
        area = (self.x1_mm - self.x0_mm) * (self.top.y0_mm - self.foot.y0_mm + self.top.y1_mm - self.foot.y1_mm) / 2
        return area - sum(self._cut_area(cut) for cut in self.cuts)

    def _cut_area(self, cut: FaceCut) -> float:
        """Exact: what lies within the piece's edges, taken part by part between the points where they cross the cut-out's."""
        a, b = max(cut.x0_mm, self.x0_mm), min(cut.x1_mm, self.x1_mm)
        kinks = {x for x in (self.top.crossing(cut.y1_mm), self.foot.crossing(cut.y0_mm)) if x is not None and a < x < b}
        xs = sorted({a, *kinks, b})
        tall = [max(0.0, min(cut.y1_mm, self.top.at(x)) - max(cut.y0_mm, self.foot.at(x))) for x in xs]
        return sum((v - u) * (s + t) / 2 for (u, v), (s, t) in zip(pairwise(xs), pairwise(tall), strict=True))


def pieces_of(face: Face, column: Column, longest_mm: float, p: Parameters) -> list[BoardPiece]:
    """The boards of a column, from left to right and upwards. Args: longest_mm: of the longest board."""
    pieces: list[BoardPiece] = []
    run = face.lined.stretch.run
    for a, b in face.level_parts(column.x0_mm, column.x1_mm):
        span = run.span_at((a + b) / 2)
        foot = Line(a, b, span.floor_at(a) + p.board_floor_gap_mm, span.floor_at(b) + p.board_floor_gap_mm)
        top = Line(a, b, span.ceiling_at(a), span.ceiling_at(b))
        whole = BoardPiece(column, run.span_at(a), foot, top, ("B1", "B2", "B3"))
        for band in _around(whole, [cut for cut in face.cuts if cut.x0_mm < b - EPSILON and cut.x1_mm > a + EPSILON]):
            pieces += _boards_high(band, run, longest_mm)
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
        through = all(
            cut.y0_mm <= piece.foot.at(x) + EPSILON and cut.y1_mm >= piece.top.at(x) - EPSILON
            for x in (max(a, cut.x0_mm), min(b, cut.x1_mm))
        )
        if through:
            left, right = _part(piece, a, max(a, cut.x0_mm)), _part(piece, min(b, cut.x1_mm), b)
            return [q for part in (left, right) if part for q in _around(part, _within(part, others))]
    piece.cuts = sorted(cuts, key=lambda c: (c.x0_mm, c.y0_mm))
    return [piece]


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
    foot = Line(a, b, piece.foot.at(a), piece.foot.at(b)) if low is None else Line(a, b, low, low)
    top = Line(a, b, piece.top.at(a), piece.top.at(b)) if high is None else Line(a, b, high, high)
    tall_a, tall_b = top.y0_mm - foot.y0_mm, top.y1_mm - foot.y1_mm
    if max(tall_a, tall_b) <= EPSILON:
        return None
    if min(tall_a, tall_b) < -EPSILON:  # foot and top cross: the piece ends in a point there
        x = a + (b - a) * tall_a / (tall_a - tall_b)
        a, b = (x, b) if tall_a < 0 else (a, x)
        foot, top = (Line(a, b, line.at(a), line.at(b)) for line in (foot, top))
    return BoardPiece(piece.column, piece.span, foot, top, piece.rules)


def _boards_high(piece: BoardPiece, run: Run, longest: float) -> Iterator[BoardPiece]:
    """B4: a piece taller than the longest board is made up of several, with its horizontal joints."""
    if piece.y1_mm - piece.y0_mm <= longest + EPSILON:
        yield piece
        return
    joints = _heights(piece.y0_mm, piece.y1_mm, longest, from_foot=piece.column.number % 2 == 1)
    edges = {x for y in joints for x in (piece.foot.crossing(y), piece.top.crossing(y)) if x is not None}
    xs = sorted({piece.x0_mm, *edges, piece.x1_mm})
    for a, b in pairwise(xs):
        middle = (a + b) / 2
        ys = [y for y in joints if piece.foot.at(middle) < y < piece.top.at(middle)]
        for low, high in zip([None, *ys], [*ys, None], strict=True):
            part = _part(piece, a, b, low, high)
            if part is not None:
                part.rules = (*piece.rules, "B4")
                yield from _around(part, _within(part, piece.cuts))


def _heights(low: float, high: float, longest: float, *, from_foot: bool) -> list[float]:
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
