"""Boards cut to the face: heights, pieces above and below openings, cut-outs, columns of several boards. Rules B3 and B4.

A piece has plumb sides and a foot and a top of straight lines; only stud lines divide boards sideways, however a ceiling runs.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from service.engine.boards.columns import Column
from service.engine.boards.edges import Edge
from service.engine.boards.face import Face, FaceCut
from service.engine.boards.heights import joint_heights
from service.engine.boards.parts import Part, area_of, parts_of
from service.engine.geometry.runs import Stretch, WallSpan
from service.engine.parameters import Parameters
from service.engine.units import EPSILON

SLIVER_MM2 = 0.1
"""What is smaller is float noise or dust, and no piece."""

LevelJoint = tuple[float, float, float]
"""From, to, height: a horizontal joint of the layer before."""


@dataclass(slots=True, eq=False)
class BoardPiece:
    """A piece of board in the run's x, before it has a name: foot and top edge, and what is cut out of it."""

    column: Column
    stretch: Stretch
    foot: Edge
    top: Edge
    rules: tuple[str, ...]
    cuts: list[FaceCut] = field(default_factory=list)

    @property
    def span(self) -> WallSpan:
        """The wall to which it belongs: where its left edge stands."""
        return self.stretch.span_at(self.x0_mm)

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
    def area_mm2(self) -> float:
        return area_of(self.foot, self.top, self.cuts)


def pieces_of(face: Face, column: Column, longest_mm: float, before: Sequence[LevelJoint], p: Parameters) -> list[BoardPiece]:
    """The boards of a column.

    Args: longest_mm: of the longest board. before: horizontal joints of the layer before, to keep off.
    """
    stretch, gap = face.lined.stretch, p.board_floor_gap_mm
    spans = list(stretch.run.pieces_between(column.x0_mm, column.x1_mm))
    foot = Edge.through((x, span.floor_at(x) + gap) for span, a, b in spans for x in (a, b))
    top = Edge.through((x, span.ceiling_at(x)) for span, a, b in spans for x in (a, b))
    cuts = [cut for cut in face.cuts if cut.x0_mm < column.x1_mm and cut.x1_mm > column.x0_mm]
    whole = BoardPiece(column, stretch, foot, top, ("B1", "B2", "B3"), cuts)
    return [piece for part in divided(whole) for piece in _boards_high(part, longest_mm, before)]


def divided(piece: BoardPiece) -> Iterator[BoardPiece]:
    """The pieces into which its cut-outs divide a piece, each connected and with the cut-outs that take something of it.

    A part is had by trimming the piece to the box around it. Where another part reaches into that box, a plumb cut parts them.
    """
    parts = [part for part in parts_of(piece.foot, piece.top, piece.cuts) if part.area_mm2 > SLIVER_MM2]
    trimmed = [_trimmed(piece, part) for part in parts]
    if all(abs(q.area_mm2 - part.area_mm2) < SLIVER_MM2 for q, part in zip(trimmed, parts, strict=True)):
        yield from trimmed
        return
    sides = [(part.x0_mm, part.x1_mm) for part in parts] + [(cut.x0_mm, cut.x1_mm) for cut in piece.cuts]
    inside = [x for side in sides for x in side if piece.x0_mm + EPSILON < x < piece.x1_mm - EPSILON]
    x = min(inside, key=lambda side: (abs(side - (piece.x0_mm + piece.x1_mm) / 2), side))
    for a, b in ((piece.x0_mm, x), (x, piece.x1_mm)):
        yield from divided(replace(piece, foot=piece.foot.between(a, b), top=piece.top.between(a, b)))


def _trimmed(piece: BoardPiece, part: Part) -> BoardPiece:
    """The piece within the box around a part of it."""
    foot = piece.foot.between(part.x0_mm, part.x1_mm).held(part.y0_mm, below=False)
    top = piece.top.between(part.x0_mm, part.x1_mm).held(part.y1_mm, below=True)
    whole = area_of(foot, top, ())
    cuts = [
        cut
        for cut in piece.cuts
        if cut.x0_mm < part.x1_mm - EPSILON
        and cut.x1_mm > part.x0_mm + EPSILON
        and whole - area_of(foot, top, (cut,)) > SLIVER_MM2
    ]
    return replace(piece, foot=foot, top=top, cuts=sorted(cuts, key=lambda cut: (cut.x0_mm, cut.y0_mm)))


def _boards_high(piece: BoardPiece, longest: float, before: Sequence[LevelJoint]) -> Iterator[BoardPiece]:
    """B4: a piece taller than the longest board is made up of several, with its horizontal joints."""
    if piece.y1_mm - piece.y0_mm <= longest + EPSILON:
        yield piece
        return
    clear_of = [y for a, b, y in before if a < piece.x1_mm - EPSILON and b > piece.x0_mm + EPSILON]
    joints = joint_heights(piece.y0_mm, piece.y1_mm, longest, from_foot=piece.column.from_foot, clear_of=clear_of)
    for low, high in zip([None, *joints], [*joints, None], strict=True):
        foot = piece.foot if low is None else piece.foot.held(low, below=False)
        top = piece.top if high is None else piece.top.held(high, below=True)
        yield from divided(replace(piece, foot=foot, top=top, rules=(*piece.rules, "B4")))
