"""The random rooms do come to every board rule and finding, so that what the properties say is said about something."""

import random
from collections import Counter

from boards.boarded import BoardedCase, random_boarded_case
from service.engine.boards.board import Boarding
from service.engine.framing.frame import Frame
from service.engine.results import FlatPiece
from service.vocabulary import EndKind, OpeningKind, PieceRole

ROOMS = 1000
LEAST = ROOMS // 100


def _seen(case: BoardedCase, frame: Frame, boarding: Boarding) -> set[str]:
    boards = [b for b in boarding.boards if b.role is PieceRole.BOARD]
    seen = {f"finding {f.code}" for f in boarding.findings}
    seen |= {f"rule {rule}" for b in (*boarding.boards, *boarding.reveals) for rule in b.rules}
    seen |= {f"rule {rule}" for u in boarding.usages for rule in u.rules}
    seen |= {f"layer {b.layer}" for b in boards}
    seen |= {f"piece {piece.role}" for piece in (*boarding.boards, *boarding.reveals)}
    seen |= {f"used {u.component} {u.where}" for u in boarding.usages}
    seen |= {name for b in boards for name in _shapes(b)}
    if boarding.straps:
        seen.add("straps")
    if any(b.x_mm + b.width_mm > case.case.rooms[0].walls[b.wall - 1].length_mm + 400 for b in boards):
        seen.add("a board across two walls")
    for lined in frame.lined:
        for end, meets in ((lined.stretch.left, lined.meets_left), (lined.stretch.right, lined.meets_right)):
            if end is not None and end.kind in (EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER) and meets:
                seen.add(f"end {end.kind}")
        for o in lined.stretch.openings:
            if o.reaches_floor and o.reaches_ceiling:
                seen.add("opening from floor to ceiling")
            if o.opening.kind is OpeningKind.HEARTH:
                seen.add("hearth")
    return seen


def _shapes(b: FlatPiece) -> set[str]:
    found = set()
    if abs(b.height_left_mm - b.height_right_mm) > 1:
        found.add("raked top")
    if b.foot_left_mm + b.foot_right_mm > 1:
        found.add("sloping foot")
    if b.bevel_left_mm or b.bevel_right_mm:
        found.add("bevel")
    if b.outline_mm:
        found.add("bent or stepped")
    for c in b.cut_outs:
        at_edge = c.x_mm < 0.1 or c.x_mm + c.width_mm > b.width_mm - 0.1
        at_end = c.y_mm < 0.1 or c.y_mm + c.height_mm > b.length_mm - 0.1
        found.add("for a feature" if c.feature else "for an opening")
        found.add("notched" if at_edge or at_end else "pierced")
    return found


WANTED = {
    *(f"rule {rule}" for rule in ("B1", "B2", "B3", "B4", "B5", "B6", "B7", "F2")),
    *(f"finding {code}" for code in ("board_strip_narrow", "board_leg_narrow", "board_unbacked", "layer_joints_close")),
    *(f"finding {code}" for code in ("joint_on_jamb_line", "joint_off_stud", "reveal_too_narrow")),
    *(f"piece {role}" for role in ("board", "stop_end_strip", "reveal_head", "reveal_jamb", "reveal_sill")),
    *(f"layer {layer}" for layer in (1, 2, 3)),
    *(f"end {kind}" for kind in ("internal_corner", "external_corner")),
    "straps", "a board across two walls", "opening from floor to ceiling", "hearth",
    "raked top", "sloping foot", "bevel", "bent or stepped", "for an opening", "for a feature", "notched", "pierced",
}  # fmt: skip


def test_a_thousand_rooms_come_to_every_rule_and_finding() -> None:
    counted: Counter[str] = Counter()
    for seed in range(ROOMS):
        case = random_boarded_case(random.Random(seed))
        counted.update(_seen(case, *case.answer()))
    assert {name: counted[name] for name in sorted(WANTED) if counted[name] < LEAST} == {}
