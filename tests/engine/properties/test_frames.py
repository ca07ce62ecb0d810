"""Any room's frame keeps the setting-out rules, as the referees beside this file read them."""

from hypothesis import given
from rooms.surveys import Case, cases, rooms

from properties.referees import CHANNELS, CORNERS, MEMBERS, RAILS, STUDS, breaches, framed
from service.engine.parameters import Parameters


@given(cases())
def test_studs_stand_where_the_rules_put_them(case: Case) -> None:
    assert breaches(case, framed(case), *STUDS) == [], case


@given(cases())
def test_rails_and_brackets_hold_every_stud(case: Case) -> None:
    assert breaches(case, framed(case), *RAILS) == [], case


@given(cases())
def test_channels_and_trims_close_the_frame(case: Case) -> None:
    assert breaches(case, framed(case), *CHANNELS, *MEMBERS) == [], case


@given(rooms())
def test_frames_meet_at_corners(room) -> None:  # type: ignore[no-untyped-def]
    case = Case(rooms=(room,), parameters=Parameters())
    assert breaches(case, framed(case), *CORNERS) == [], case
