"""No referee is a rubber stamp: each objects to a sound frame in which the thing it watches over is spoilt."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from rooms.inputs import takeoff_input
from rooms.surveys import Case

from properties import channels, fixings, rails, studs
from properties.quantities import TAKEOFF, objections
from properties.referees import OF_A_RUN, OF_A_SURVEY, breaches, framed
from service.engine.inputs import Item, Opening, Room, Wall
from service.engine.order_results import PlacedPiece, Takeoff
from service.engine.parameters import Parameters
from service.engine.recipe import take_off
from service.engine.results import Framing, Member, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import Component, OpeningKind, Role

TALL, WINDOW, DOOR = 4400, (1000, 1500, 900, 1200), (3700, 900, 0, 2040)


def _opening(offset: int, width: int, sill: int, height: int) -> Opening:
    return Opening(kind=OpeningKind.WINDOW, offset_mm=offset, width_mm=width, sill_mm=sill, height_mm=height)


def _wall(length: int, corner: float, *openings: tuple[int, int, int, int], height: int = 2700, end: int | None = None) -> Wall:
    return Wall(
        length_mm=length, corner_deg=corner, height_left_mm=height, height_right_mm=height if end is None else end,
        openings=tuple(_opening(*o) for o in openings),
    )  # fmt: skip


SOUND = Case(
    rooms=(
        Room(
            walls=(
                _wall(6200, 90, WINDOW, DOOR, height=TALL),
                _wall(2600, 270, (600, 1200, 1100, 1000)),
                _wall(3900, 225, (200, 3400, 900, 1400)),
                _wall(3000, 90, end=1500),
                _wall(1000, 90),
            ),
        ),
    ),
    parameters=Parameters(),
    stud_stock_mm=(3000,),
    channel_stock_mm=(3000,),
)
"""Five walls: tall with a window and a door, a window under a rake's neighbour, a wide window, a rake, a plain short wall."""


def test_the_frame_that_is_to_be_spoilt_is_sound() -> None:
    framing = framed(SOUND)
    assert [layout.wall for layout in framing.layouts] == [1, 2, 3, 4, 5]
    assert breaches(SOUND, framing, *OF_A_RUN, *OF_A_SURVEY) == []


def _with(framing: Framing, change: Callable[[WallLayout], WallLayout]) -> Framing:
    return replace(framing, layouts=tuple(change(layout) for layout in framing.layouts))


def _members(change: Callable[[Member], Member | None]) -> Callable[[Framing], Framing]:
    def changed(layout: WallLayout) -> WallLayout:
        return replace(layout, members=tuple(new for m in layout.members if (new := change(m)) is not None))

    return lambda framing: _with(framing, changed)


def _role(role: Role, /, **changes: Callable[[Member], Any]) -> Callable[[Framing], Framing]:
    """Every member of a role with some fields changed."""
    return _members(lambda m: replace(m, **{k: f(m) for k, f in changes.items()}) if m.role is role else m)


def _without(*roles: Role) -> Callable[[Framing], Framing]:
    return _members(lambda m: None if m.role in roles else m)


def _no_brackets(framing: Framing) -> Framing:
    return _with(framing, lambda layout: replace(layout, brackets=()))


def _brackets(**changes: Callable[[Any], Any]) -> Callable[[Framing], Framing]:
    def changed(layout: WallLayout) -> WallLayout:
        return replace(layout, brackets=tuple(replace(b, **{k: f(b) for k, f in changes.items()}) for b in layout.brackets))

    return lambda framing: _with(framing, changed)


def _one_more_fixing(framing: Framing) -> Framing:
    return _with(framing, lambda layout: replace(layout, fixings=tuple(replace(f, count=f.count + 1) for f in layout.fixings)))


def _no_fixings(framing: Framing) -> Framing:
    return _with(framing, lambda layout: replace(layout, fixings=()))


def _frame(**changes: float) -> Callable[[Framing], Framing]:
    def moved(layout: WallLayout) -> WallLayout:
        frame = replace(layout.frame, **{k: getattr(layout.frame, k) + v for k, v in changes.items()})
        return replace(layout, frame=frame)

    return lambda framing: _with(framing, moved)


SPOILT: list[tuple[Any, Callable[[Framing], Framing]]] = [
    (studs.studs_stay_out_of_openings, _role(Role.JAMB_STUD, x_mm=lambda m: m.x_mm + 1)),
    (studs.studs_do_not_overlap, _role(Role.STUD, x_mm=lambda m: m.x_mm - 576)),
    (studs.studs_stand_within_the_frame, _role(Role.END_STUD, x_mm=lambda m: m.x_mm - 1)),
    (studs.stud_lines_are_near_enough, _without(Role.STUD)),
    (studs.ends_carry_a_stud, _without(Role.END_STUD)),
    (studs.jambs_stand_flush, _role(Role.JAMB_STUD, x_mm=lambda m: m.x_mm + 0.1)),
    (studs.studs_keep_to_the_grid, _role(Role.STUD, x_mm=lambda m: m.x_mm + 0.1)),
    (studs.lengths_follow_the_heights, _role(Role.STUD, length_mm=lambda m: m.length_mm + 2)),
    (studs.ends_are_cut_to_the_slope, _role(Role.STUD, splay_end_deg=lambda m: 0.0)),
    (studs.no_short_stud_is_too_short, _role(Role.SHORT_STUD, length_mm=lambda m: 49)),
    (studs.long_studs_are_spliced, _members(lambda m: replace(m, y_mm=m.y_mm + 5) if m.joined_to else m)),
    (studs.splices_are_staggered, _members(lambda m: replace(m, y_mm=2000.0) if m.joined_to else m)),
    (rails.rails_lie_on_the_masonry_and_clear_of_openings, _role(Role.RAIL, x_mm=lambda m: m.x_mm + 30)),
    (rails.rails_do_not_overlap, _role(Role.RAIL, length_mm=lambda m: m.length_mm + 1600)),
    (rails.every_rail_serves_a_stud, _no_brackets),
    (rails.brackets_lie_on_their_rail_and_stud, _brackets(x_mm=lambda b: b.x_mm + 25)),
    (rails.brackets_reach_from_rail_to_stud, _brackets(projection_mm=lambda b: b.projection_mm + 1)),
    (rails.spans_keep_the_limit_or_say_so, _no_brackets),
    (rails.rows_stand_where_the_height_says, _role(Role.RAIL, y_mm=lambda m: m.y_mm + 1)),
    (rails.rows_hold_every_stud_they_cross, _no_brackets),
    (rails.every_crossing_has_its_bracket, _no_brackets),
    (rails.short_studs_have_their_own_rail, _without(Role.OPENING_RAIL)),
    (rails.corner_profiles_are_held_at_every_row, _no_brackets),
    (channels.channels_tile_the_frame_line, _role(Role.CEILING_CHANNEL, length_mm=lambda m: m.length_mm - 2)),
    (channels.channels_lie_on_floor_and_ceiling, _role(Role.CEILING_CHANNEL, y_mm=lambda m: m.y_mm + 1)),
    (channels.trims_close_every_head_and_sill, _without(Role.SILL_TRIM)),
    (channels.trims_close_every_head_and_sill, _role(Role.HEAD_TRIM, fold_marks_mm=lambda m: (1, 2))),
    (channels.trims_are_joined_on_a_short_stud, _role(Role.HEAD_TRIM, x_mm=lambda m: m.x_mm + 60)),
    (channels.stop_ends_have_their_channel, _role(Role.CORNER_PROFILE, role=lambda m: Role.STOP_END_CHANNEL)),
    (channels.runs_are_split_as_seldom_as_can_be, _role(Role.FLOOR_CHANNEL, length_mm=lambda m: m.length_mm + 300)),
    (studs.frames_end_where_the_corner_says, _frame(x0_mm=0.1)),
    (studs.frames_end_where_the_corner_says, _frame(finished_x1_mm=0.1)),
    (studs.every_lined_wall_is_laid_out_or_says_why, lambda framing: replace(framing, layouts=framing.layouts[1:])),
    (studs.external_corners_are_held, _without(Role.END_STUD, Role.STUD, Role.JAMB_STUD, Role.EXTRA_STUD)),
    (channels.corner_profiles_stand_once_at_each_corner, _without(Role.CORNER_PROFILE)),
    (channels.corner_profiles_stand_once_at_each_corner, _role(Role.CORNER_PROFILE, length_mm=lambda m: m.length_mm + 1)),
    (channels.members_are_well_named, _role(Role.STUD, id=lambda m: m.id.replace("-01", "-09"))),
    (channels.members_are_well_named, _role(Role.RAIL, length_mm=lambda m: float(m.length_mm))),
    (channels.nothing_is_longer_than_stock, _role(Role.STUD, length_mm=lambda m: 3001)),
    (fixings.runs_are_fixed_at_their_spacing, _one_more_fixing),
    (fixings.frame_screws_hold_every_trim, _no_fixings),
]


@pytest.mark.parametrize(("referee", "spoil"), SPOILT, ids=[f"{referee.__name__}-{n}" for n, (referee, _) in enumerate(SPOILT)])
def test_a_spoilt_frame_is_objected_to(referee: Any, spoil: Callable[[Framing], Framing]) -> None:
    assert breaches(SOUND, spoil(framed(SOUND)), referee) != []


def test_every_referee_is_put_to_the_test() -> None:
    tried = {referee for referee, _ in SPOILT} | {rails.no_span_is_reported_that_holds}
    assert tried == {*OF_A_RUN, *OF_A_SURVEY}


def test_a_span_that_is_said_and_holds_is_objected_to() -> None:
    framing = framed(SOUND)
    said = replace(framing.findings[0], code=FindingCode.SPAN_OVER_LIMIT, wall=5)
    assert breaches(SOUND, replace(framing, findings=(said,)), rails.no_span_is_reported_that_holds) != []


def _first_bar(takeoff: Takeoff, **changes: Any) -> Takeoff:
    first, *others = takeoff.cut_lists
    bars = (replace(first.bars[0], **changes), *first.bars[1:])
    return replace(takeoff, cut_lists=(replace(first, bars=bars), *others))


def _first_line(takeoff: Takeoff, **changes: float) -> Takeoff:
    first, *others = takeoff.schedule
    line = replace(first, **{k: getattr(first, k) + v for k, v in changes.items()})
    return replace(takeoff, schedule=(line, *others))


def _lowered(takeoff: Takeoff, by: int) -> Takeoff:
    first, *others = takeoff.cut_lists
    return replace(takeoff, cut_lists=(replace(first, lower_bound=first.lower_bound + by), *others))


def _first_sheet(takeoff: Takeoff, **changes: object) -> Takeoff:
    first, *others = takeoff.flat_cut_lists
    sheets = (replace(first.sheets[0], **changes), *first.sheets[1:])  # type: ignore[arg-type]
    return replace(takeoff, flat_cut_lists=(replace(first, sheets=sheets), *others))


def _pushed(takeoff: Takeoff, by: float) -> tuple[PlacedPiece, ...]:
    first, *others = takeoff.flat_cut_lists[0].sheets[0].pieces
    return (replace(first, x_mm=first.x_mm + by), *others)


SPOILT_TAKEOFFS: list[tuple[str, Callable[[Takeoff], Takeoff]]] = [
    ("every_member_is_one_cut_or_unplaced", lambda t: _first_bar(t, cuts=t.cut_lists[0].bars[0].cuts[1:])),
    ("every_member_is_one_cut_or_unplaced", lambda t: _first_bar(t, cuts=t.cut_lists[0].bars[0].cuts * 2)),
    ("every_bar_holds_its_cuts", lambda t: _first_bar(t, cuts=t.cut_lists[0].bars[0].cuts * 2)),
    ("every_bar_holds_its_cuts", lambda t: _first_bar(t, remainder_mm=t.cut_lists[0].bars[0].remainder_mm + 1)),
    ("every_flat_piece_is_on_one_sheet", lambda t: _first_sheet(t, pieces=t.flat_cut_lists[0].sheets[0].pieces * 2)),
    ("every_flat_piece_is_on_one_sheet", lambda t: _first_sheet(t, pieces=_pushed(t, 10_000))),
    ("every_flat_piece_is_on_one_sheet", lambda t: _first_sheet(t, item=t.cut_lists[0].bars[0].item)),
    ("every_bar_holds_its_cuts", lambda t: _first_bar(t, offcut=1)),
    ("no_offcut_is_cut_twice", lambda t: _first_bar(_first_sheet(t, offcut=2), offcut=2)),
    ("bounds_lie_below_plans", lambda t: _lowered(t, 1)),
    ("the_schedule_counts_the_layouts", lambda t: _first_line(t, net_quantity=0.001)),
    ("the_schedule_counts_the_layouts", lambda t: replace(t, schedule=t.schedule[1:])),
    ("orders_supply_what_is_used", lambda t: _first_line(t, waste_quantity=0.001)),
    ("orders_supply_what_is_used", lambda t: _first_line(t, ordered_quantity=-1.0)),
]


@pytest.mark.parametrize(("name", "spoil"), SPOILT_TAKEOFFS)
def test_a_spoilt_takeoff_is_objected_to(name: str, spoil: Callable[[Takeoff], Takeoff]) -> None:
    too_short = Item(component=Component.C_STUD, length_mm=100)
    given = replace(takeoff_input(SOUND), offcuts=(too_short, replace(too_short, length_mm=110)))
    takeoff = take_off(given)
    assert objections(given, takeoff) == []
    assert any(objection.startswith(name) for objection in objections(given, spoil(takeoff)))
    assert {name for name, _ in SPOILT_TAKEOFFS} == {referee.__name__ for referee in TAKEOFF}
