"""Whether boards may be turned on their sheet: the specification's choice."""

import pytest

from service.engine.builtin_range import builtin_range
from service.engine.inputs import Item, Room, TakeoffInput, Wall
from service.engine.parameters import Parameters
from service.engine.recipe import take_off
from service.vocabulary import Component, CutStatus

SHEET = Item(component=Component.PLASTERBOARD, width_mm=1200, length_mm=2400, thickness_mm=12.5)


@pytest.mark.parametrize(("turning", "sheets", "turned"), [(False, 2, {False}), (True, 1, {True})])
def test_boards_are_turned_only_where_it_is_allowed(turning: bool, sheets: int, turned: set[bool]) -> None:
    """Three walls 700 long and 1200 high take a board of 700 × 1190 each, 10 off the floor. Upright two stand one above the other
    on a sheet of 1200 × 2400 (2 × 1190 = 2380) and none beside it; across all three lie on it (3 × 700 = 2100).
    """
    p = Parameters(board_turning=turning)
    others = [item for item in builtin_range(p) if item.component is not Component.PLASTERBOARD]
    wall = Wall(length_mm=700, height_left_mm=1200, height_right_mm=1200)
    rooms = tuple(Room(walls=(wall,), closed=False) for _ in range(3))
    takeoff = take_off(TakeoffInput(rooms=rooms, parameters=p, items=(SHEET, *others)))
    (cut_list,) = [each for each in takeoff.flat_cut_lists if each.component is Component.PLASTERBOARD]
    assert (len(cut_list.sheets), cut_list.status) == (sheets, CutStatus.OPTIMAL)
    assert {piece.turned for sheet in cut_list.sheets for piece in sheet.pieces} == turned
