"""Any room's takeoff: cuts, schedule and findings agree with its layout; a survey that cannot be is refused."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rooms.dice import DrawnDice
from rooms.inputs import supplied, takeoff_input
from rooms.outlines import Stroke, vertices
from rooms.surveys import Case, Faulty, cases, faulty_surveys, rooms
from shapely.geometry import Polygon

from properties.quantities import objections
from service.engine.inputs import Room, TakeoffInput, Wall
from service.engine.parameters import Parameters
from service.engine.recipe import GeometryRefused, take_off
from service.vocabulary import Pool


@st.composite
def inputs(draw: st.DrawFn) -> TakeoffInput:
    return supplied(DrawnDice(draw), draw(cases()))


FEW = settings(max_examples=max(1, settings().max_examples // 3))
FEWER = settings(max_examples=max(1, settings().max_examples // 10))
"""Cutting takes longer than setting out."""


@FEW
@given(inputs())
def test_cuts_and_schedule_agree_with_the_layout(given_input: TakeoffInput) -> None:
    assert objections(given_input, take_off(given_input)) == [], given_input


@FEWER
@given(rooms(), rooms(), st.sampled_from(Pool))
def test_rooms_share_bars_or_keep_their_own(room: Room, other: Room, pool: Pool) -> None:
    """Two rooms in one takeoff: the schedule by room is the sum of both, whichever way the bars are pooled."""
    both = takeoff_input(Case(rooms=(room, other), parameters=Parameters()))
    both = replace(both, options=replace(both.options, pool=pool))
    takeoff = take_off(both)
    assert objections(both, takeoff) == [], both
    assert {cut_list.room for cut_list in takeoff.cut_lists} <= ({None} if pool is Pool.PROJECT else {1, 2})


@given(faulty_surveys())
def test_a_survey_that_cannot_be_is_refused_with_its_place(faulty: Faulty) -> None:
    with pytest.raises(GeometryRefused) as refused:
        take_off(takeoff_input(faulty.case))
    found = refused.value.findings
    assert {f.code for f in found} == {faulty.code}, found
    assert {(f.room, f.wall) for f in found} == {(1, faulty.wall)}
    assert {f.opening for f in found} <= set(faulty.openings or (None,))


@st.composite
def plain_outlines(draw: st.DrawFn) -> list[Stroke]:
    """Closed, every wall long enough that its neighbours' linings do not meet: rectangles, an L, a hexagon, a splayed side."""
    a, b, c = (draw(st.integers(1500, 6000)) for _ in range(3))
    shape = draw(st.sampled_from(("rectangle", "corner", "hexagon", "parallelogram", "bay")))
    if shape == "corner":
        return [(a + b, 90.0), (c, 90.0), (b, 270.0), (c, 90.0), (a, 90.0), (2 * c, 90.0)]
    if shape == "hexagon":
        return [(side, 120.0) for side in (a, b, c, a, b, c)]
    if shape == "parallelogram":
        return [(a, 75.0), (b, 105.0), (a, 75.0), (b, 105.0)]
    if shape == "bay":
        along = round(c + 2 * 1000 * math.cos(math.radians(45)))
        return [(a, 225.0), (1000, 135.0), (c, 135.0), (1000, 225.0), (a, 90.0), (b, 90.0), (2 * a + along, 90.0), (b, 90.0)]
    return [(a, 90.0), (b, 90.0), (a, 90.0), (b, 90.0)]


@FEW
@given(plain_outlines(), st.integers(100, 190))
def test_the_floor_lost_is_what_lies_between_masonry_and_finished_face(outline: list[Stroke], offset: int) -> None:
    """Second method: the masonry's polygon less the same drawn in by d + t with mitred corners (shapely)."""
    parameters = Parameters(frame_offset_mm=offset)
    walls = tuple(
        Wall(length_mm=length, corner_deg=corner, height_left_mm=2400, height_right_mm=2400) for length, corner in outline
    )
    takeoff = take_off(takeoff_input(Case(rooms=(Room(walls=walls, closed=True),), parameters=parameters)))
    assume(len(takeoff.layouts) == len(walls))
    masonry = Polygon(vertices(outline)[:-1])
    finished = masonry.buffer(-(offset + parameters.lining_thickness_mm), join_style="mitre", mitre_limit=20)
    lost_m2 = (masonry.area - finished.area) / 1e6
    assert math.isclose(takeoff.totals.floor_area_lost_m2, lost_m2, abs_tol=0.002)


def test_a_lined_rectangle_loses_the_strip_along_its_four_walls() -> None:
    """4.0 by 3.0 m, d + t = 112.5: 4.0 × 3.0 - 3.775 × 2.775 = 12 - 10.475625 = 1.524375 m²."""
    walls = tuple(Wall(length_mm=length, height_left_mm=2400, height_right_mm=2400) for length in (4000, 3000, 4000, 3000))
    takeoff = take_off(takeoff_input(Case(rooms=(Room(walls=walls, closed=True),), parameters=Parameters())))
    assert takeoff.totals.floor_area_lost_m2 == pytest.approx(1.524375, abs=0.0006)
    assert takeoff.totals.lined_area_m2 == pytest.approx(2 * (3.775 + 2.775) * 2.4, abs=0.0006)
