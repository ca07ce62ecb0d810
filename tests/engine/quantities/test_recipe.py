"""The program as a whole: what it refuses, and what it makes of nothing."""

import pytest

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Opening, Room, TakeoffInput, Wall
from service.engine.recipe import GeometryRefused, take_off
from service.finding_codes import FindingCode
from service.vocabulary import OpeningKind


def test_a_survey_that_cannot_be_is_refused_with_every_fault():
    # The first window ends at 4100 on a wall of 4000; the second and third overlap from 2000 to 2200.
    windows = [
        Opening(kind=OpeningKind.WINDOW, offset_mm=offset, width_mm=600, sill_mm=900, height_mm=1000)
        for offset in (3500, 1600, 2000)
    ]
    wall = Wall(length_mm=4000, height_left_mm=2500, height_right_mm=2500, openings=tuple(windows))
    with pytest.raises(GeometryRefused) as refused:
        take_off(TakeoffInput(rooms=(Room(walls=(wall,)),), items=BUILTIN_RANGE))
    places = [(found.code, found.room, found.wall, found.opening) for found in refused.value.findings]
    assert places == [(FindingCode.OPENING_OUTSIDE_WALL, 1, 1, 1), (FindingCode.OPENINGS_OVERLAP, 1, 1, 3)]


def test_an_empty_survey_comes_to_nothing():
    takeoff = take_off(TakeoffInput(rooms=(), items=BUILTIN_RANGE))
    assert (takeoff.layouts, takeoff.schedule, takeoff.cut_lists, takeoff.findings) == ((), (), (), ())
    assert (takeoff.totals.rooms, takeoff.totals.lined_area_m2, takeoff.totals.net_price_minor) == (0, 0, 0)
