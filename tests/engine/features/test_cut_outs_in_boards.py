"""What features take out of the boards is taken out of every layer, piece by piece, and nothing else is."""

import math
from collections import defaultdict
from dataclasses import replace

from features.answers import answers
from features.furnished_rooms import furnished_cases
from hypothesis import given, settings
from rooms.surveys import Case
from shapely import box, union_all

from service.engine.boards.board import board
from service.engine.framing.frame import set_out_frame
from service.engine.inputs import Sheet
from service.engine.results import FlatPiece
from service.vocabulary import ROLE_COMPONENTS, Component

STOCK = {Component.C_STUD: (2400, 2700, 3000, 3600), Component.U_CHANNEL: (3000,)}
BOARD, LAMINATE = Sheet(1200, 3000), Sheet(1200, 2400)
MOST = 100


def _boards(case: Case, *, with_features: bool) -> list[FlatPiece]:
    frame = set_out_frame(case.rooms, case.parameters, ROLE_COMPONENTS, STOCK)
    stretches = frame.lined
    if with_features:
        cuts = [answer.work.cuts for answer in answers(case)]
        stretches = tuple(replace(lined, cuts=of) for lined, of in zip(frame.lined, cuts, strict=True))
    return board(stretches, case.parameters, BOARD, LAMINATE, ROLE_COMPONENTS).boards


@settings(max_examples=MOST)
@given(furnished_cases())
def test_each_layer_has_each_hole_once_and_loses_its_area_and_no_more(case: Case) -> None:
    """The holes of a layer, put together again from the pieces that each takes a part of, are the features' own rectangles."""
    wanted = {
        (c.wall, c.feature): (box(c.x0_mm, c.y0_mm, c.x1_mm, c.y1_mm), answer.starts)
        for answer in answers(case)
        for c in answer.work.cuts
    }
    boards, plain = (_boards(case, with_features=on) for on in (True, False))
    for layer in range(1, case.parameters.board_layers + 1):
        found = defaultdict(list)
        for piece in (b for b in boards if b.layer == layer):
            for out in (c for c in piece.cut_outs if c.feature is not None):
                start = wanted[out.feature][1][piece.wall]
                x, y = start + piece.x_mm + out.x_mm, piece.y_mm + out.y_mm
                found[out.feature].append(box(x, y, x + out.width_mm, y + out.height_mm))
        for feature, (hole, _) in wanted.items():
            parts = found.pop(feature, [])
            if parts:
                assert sum(part.area for part in parts) <= hole.area + 1, "parts of a hole overlap"
                assert union_all(parts).difference(hole.buffer(0.01)).area < 1
        assert not found
        area, before = (sum(b.area_mm2 for b in pieces if b.layer == layer) for pieces in (boards, plain))
        assert math.isclose(before - area, sum(hole.area for hole, _ in wanted.values()), abs_tol=1)
