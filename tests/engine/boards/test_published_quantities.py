"""Quantities of boards that can be had from outside: plane geometry on a published screw spacing.

Sources: screw spacing NBS K10 cl. 590 in a public specification of 2014; the counts are geometry on it.
"""

import pytest

from boards.boarded import STOCK
from service.engine.boards.board import Boarding, board
from service.engine.framing.frame import set_out_frame
from service.engine.inputs import Room, Sheet, Wall
from service.engine.parameters import Parameters
from service.vocabulary import ROLE_COMPONENTS, Component

BOARD_M2 = 1.2 * 2.4


def _boarded(length_mm: int, centres_mm: int) -> Boarding:
    """A plain wall 2400 high between unlined walls, boards of 1200 × 2400 standing on the floor."""
    wall = Wall(length_mm=length_mm, height_left_mm=2400, height_right_mm=2400)
    parameters = Parameters(board_floor_gap_mm=0, stud_centres_mm=centres_mm)
    frame = set_out_frame((Room(walls=(wall,)),), parameters, ROLE_COMPONENTS, STOCK)
    return board(
        frame.lined, parameters, Sheet(width_mm=1200, length_mm=2400), Sheet(width_mm=1200, length_mm=2400), ROLE_COMPONENTS
    )


def _used(boarding: Boarding, component: Component) -> float:
    return sum(u.quantity for u in boarding.usages if u.component is component)


@pytest.mark.parametrize(("centres_mm", "screws", "per_m2"), [(600, 27, 9.4), (400, 36, 12.5)])
def test_a_board_of_1200_by_2400_takes_nine_screws_on_each_stud(centres_mm: int, screws: int, per_m2: float) -> None:
    longer, shorter = _boarded(7200, centres_mm), _boarded(6000, centres_mm)
    another_board = _used(longer, Component.BOARD_SCREW) - _used(shorter, Component.BOARD_SCREW)
    assert another_board == screws
    assert another_board / BOARD_M2 == pytest.approx(per_m2, abs=0.05)


def test_each_further_board_takes_an_upright_joint_and_its_width_of_ceiling_line() -> None:
    """(1.2 + 2.4) / 2.88 = 1.25 m of tape a square metre."""
    tape = _used(_boarded(7200, 600), Component.JOINT_TAPE) - _used(_boarded(6000, 600), Component.JOINT_TAPE)
    assert tape / BOARD_M2 == pytest.approx(1.25)


def test_upright_joints_alone_are_one_over_the_boards_width() -> None:
    """1 / 1.2 = 0.83 m a square metre."""

    def joints(length_mm: int) -> float:
        usages = _boarded(length_mm, 600).usages
        return sum(u.quantity for u in usages if u.component is Component.JOINT_TAPE and u.where == "joints between boards")

    assert (joints(7200) - joints(6000)) / BOARD_M2 == pytest.approx(1 / 1.2)
