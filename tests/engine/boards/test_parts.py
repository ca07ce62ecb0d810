"""Boards that openings divide, in shapes that random rooms hardly come to."""

from dataclasses import dataclass, replace

import pytest

from boards.boarded import STOCK
from service.engine.boards.columns import Column
from service.engine.boards.edges import Edge
from service.engine.boards.face import FaceCut, face_of
from service.engine.boards.pieces import BoardPiece, divided
from service.engine.framing.frame import set_out_frame
from service.engine.inputs import Opening, Room, Wall
from service.engine.parameters import Parameters
from service.vocabulary import ROLE_COMPONENTS, OpeningKind


@dataclass(frozen=True)
class Box:
    x0: float
    x1: float
    y0: float
    y1: float


def _pieces(*cuts: Box, top: tuple[tuple[float, float], ...] = ((0, 2400), (1200, 2400))) -> list[BoardPiece]:
    """A board from 0 to 1200, standing at 0, with these rectangles taken out."""
    opening = Opening(kind=OpeningKind.HEARTH, offset_mm=300, width_mm=100, sill_mm=0, height_mm=500)
    wall = Wall(length_mm=1200, height_left_mm=2400, height_right_mm=2400, openings=(opening,))
    p = Parameters()
    frame = set_out_frame((Room(walls=(wall,)),), p, ROLE_COMPONENTS, STOCK)
    face = face_of(frame.lined[0], p)
    taken = [FaceCut(face.cuts[0].of, c.x0, c.x1, c.y0, c.y1) for c in cuts]
    column = Column(1, 1, 0, 1200)
    foot = Edge.through([(0, 0), (1200, 0)])
    return list(divided(BoardPiece(column, frame.lined[0].stretch, foot, Edge.through(top), ("B3",), taken)))


def _boxes(pieces: list[BoardPiece]) -> list[tuple[float, float, float, float]]:
    return sorted((q.x0_mm, q.x1_mm, q.y0_mm, q.y1_mm) for q in pieces)


def test_an_opening_across_the_board_leaves_one_above_and_one_below() -> None:
    pieces = _pieces(Box(-50, 1250, 900, 2100))
    assert _boxes(pieces) == [(0, 1200, 0, 900), (0, 1200, 2100, 2400)]
    assert [q.cuts for q in pieces] == [[], []]


def test_an_opening_from_foot_to_top_leaves_one_on_either_side() -> None:
    assert _boxes(_pieces(Box(300, 700, -10, 2500))) == [(0, 300, 0, 2400), (700, 1200, 0, 2400)]


def test_a_notch_divides_nothing() -> None:
    (piece,) = _pieces(Box(300, 700, -10, 2000))
    assert piece.area_mm2 == 1200 * 2400 - 400 * 2000
    assert len(piece.cuts) == 1


def test_a_board_that_another_reaches_round_is_cut_apart_plumb() -> None:
    """Two openings that touch: what stands above the first, 600 × 900, lies within the box of what goes round both. A plumb cut
    where the second one begins parts that in two, of 600 × 1000 and 600 × 2400 less 300 × 1400."""
    pieces = _pieces(Box(-50, 600, 1000, 1500), Box(600, 900, 1000, 2500))
    assert _boxes(pieces) == [(0, 600, 0, 1000), (0, 600, 1500, 2400), (600, 1200, 0, 2400)]
    assert [q.area_mm2 for q in sorted(pieces, key=lambda q: (q.x0_mm, q.y0_mm))] == [600_000, 540_000, 1_440_000 - 420_000]


def test_a_ceiling_that_dips_to_an_opening_leaves_both_ends_above_it() -> None:
    """2400 falling to 1800 in the middle and rising again; an opening across the board up to 2100 meets it at 300 and at 900."""
    pieces = _pieces(Box(-50, 1250, 900, 2100), top=((0, 2400), (600, 1800), (1200, 2400)))
    assert _boxes(pieces) == [(0, 300, 2100, 2400), (0, 1200, 0, 900), (900, 1200, 2100, 2400)]
    assert sorted(q.area_mm2 for q in pieces) == pytest.approx([45_000, 45_000, 1_080_000])


def test_a_joint_through_a_stepped_board_follows_the_step() -> None:
    """1800 high to the left of 500, 2400 to its right, held to 2000."""
    (piece,) = _pieces(top=((0, 1800), (500, 1800), (500, 2400), (1200, 2400)))
    lower = replace(piece, top=piece.top.held(2000, below=True))
    assert lower.top.points == ((0, 1800), (500, 1800), (500, 2000), (1200, 2000))
    assert lower.area_mm2 == 500 * 1800 + 700 * 2000
    assert lower.top.level_parts() == [(0, 500, 1800), (500, 1200, 2000)]
    assert lower.top.between(500, 900).points == ((500, 2000), (900, 2000))
