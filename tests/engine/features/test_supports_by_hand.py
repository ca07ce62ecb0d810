"""Rules V7 to V9 on walls worked by hand: rails of 48 from stud face to stud face, studs at 24, 600, 1200 … 3600, 4176 of 4200.

All figures are arithmetic on the rules (decisions of this project and common practice, no published source).
"""

import pytest
from features.features_by_hand import feature, rails, said, work
from insulation.walls_by_hand import hole, wall

from service.engine.features.place import FeatureWork
from service.engine.inputs import Feature
from service.engine.parameters import Parameters
from service.finding_codes import FindingCode
from service.vocabulary import Component, Direction, FeatureKind, Role

RADIATOR, HEAVY, SOCKET = FeatureKind.RADIATOR, FeatureKind.HEAVY_ITEM, FeatureKind.SOCKET


def on_4200(*features: Feature, p: Parameters | None = None) -> FeatureWork:
    return work(wall(4200, features=features), p=p)


def with_window(*features: Feature) -> FeatureWork:
    """1200 to 2400 along, 900 to 2100 up: jamb studs at 1176 and 2424, a line of short ones at 1800."""
    return work(wall(4200, openings=(hole(1200, 1200, 900, 2100),), features=features))


def test_a_radiator_hangs_on_two_rows_in_every_bay_that_it_overlaps() -> None:
    """900 × 600 at (1800, 450): 1350 to 2250, two bays of 600 - 48 = 552. Rows 75 inside 150 and 750: 225 and 675, edges 24
    lower."""
    answer = on_4200(feature(RADIATOR, 1800, 450, width_mm=900, height_mm=600))
    assert rails(answer) == [(1224, 201, 552), (1224, 651, 552), (1824, 201, 552), (1824, 651, 552)]
    assert [m.id for m in answer.supports] == [f"1/1/support_rail-0{n}" for n in (1, 2, 3, 4)]
    one = answer.supports[0]
    assert (one.role, one.component, one.direction, one.rules) == (Role.SUPPORT_RAIL, Component.C_STUD, Direction.ALONG, ("V7",))
    assert [(f.component, f.count, f.terms, f.members) for f in answer.fixings] == [
        (Component.FRAME_SCREW, 4, "2 ends × 2", (m.id,)) for m in answer.supports
    ]
    assert {f.rules for f in answer.fixings} == {("X2", "V7")}
    assert (answer.cuts, answer.usages, answer.findings) == ((), (), ())


def test_an_item_of_unknown_size_has_one_row_over_600() -> None:
    """At 900: 600 to 1200, one bay. At 1000: 700 to 1300, two."""
    assert rails(on_4200(feature(RADIATOR, 900, 450))) == [(624, 426, 552)]
    assert rails(on_4200(feature(HEAVY, 1000, 1500))) == [(624, 1476, 552), (1224, 1476, 552)]
    assert rails(on_4200(feature(HEAVY, 1000, 1500), p=Parameters(hung_width_mm=400))) == [(624, 1476, 552)]


@pytest.mark.parametrize(("height", "edges"), [(190, [426]), (197, [426]), (198, [402, 450]), (300, [351, 501])])
def test_two_rows_where_they_stand_apart(height: float, edges: list[float]) -> None:
    """Rows are height - 150 apart: 198 - 150 = 48, one rail on the other; under that one row in the middle. 300: 450 ± 75."""
    answer = on_4200(feature(HEAVY, 900, 450, width_mm=300, height_mm=height))
    assert [y for _, y, _ in rails(answer)] == edges


@pytest.mark.parametrize(("mass", "wanted"), [(None, 1), (0, 0), (10, 0), (10.5, 1), (60, 1), (61, 1)])
def test_a_light_item_hangs_on_the_board_and_a_very_heavy_one_is_said(mass: float | None, wanted: int) -> None:
    answer = on_4200(feature(HEAVY, 900, 1500, mass_kg=mass))
    assert len(answer.supports) == wanted
    assert said(answer) == ([FindingCode.FEATURE_TOO_HEAVY] if mass == 61 else [])


def test_a_radiator_is_supported_however_light() -> None:
    assert len(on_4200(feature(RADIATOR, 900, 450, mass_kg=5)).supports) == 1


def test_under_a_window_rails_stand_between_jambs_and_short_studs() -> None:
    """Studs at 1176, 1800 and 2424: 624 - 48 = 576. Short studs are 900 - 10 = 890 high; the upper row reaches 699."""
    answer = with_window(feature(RADIATOR, 1800, 450, width_mm=1000, height_mm=600))
    assert rails(answer) == [(1200, 201, 576), (1200, 651, 576), (1824, 201, 576), (1824, 651, 576)]
    assert said(answer) == []


@pytest.mark.parametrize(("y", "wanted"), [(866, 1), (867, 0)])
def test_a_rail_is_held_over_its_whole_height(y: float, wanted: int) -> None:
    """866 + 24 = 890, the top of the short stud."""
    answer = with_window(feature(HEAVY, 1500, y, width_mm=200))
    assert len(answer.supports) == wanted
    assert said(answer) == ([] if wanted else [FindingCode.FEATURE_UNSUPPORTED])


def test_across_a_window_nothing_carries() -> None:
    """800 wide at 1000: 600 to 1400 at 1500. Studs at 600 and 1176 carry 576 - 48 = 528; the jamb ends at 1200; to 1400 there is
    none."""
    answer = with_window(feature(HEAVY, 1000, 1500, width_mm=800))
    assert rails(answer) == [(624, 1476, 528)]
    assert sorted(said(answer)) == [FindingCode.FEATURE_MEETS_OPENING, FindingCode.FEATURE_UNSUPPORTED]
    assert "from x = 1200 to 1400 mm" in next(f.message for f in answer.findings if f.code is FindingCode.FEATURE_UNSUPPORTED)


def test_an_item_that_a_stud_carries_needs_no_rail() -> None:
    """40 wide on the stud of 576 to 624."""
    answer = on_4200(feature(HEAVY, 600, 1500, width_mm=40))
    assert (rails(answer), said(answer)) == ([], [])


def test_studs_close_together_carry_without_a_rail() -> None:
    """A nib of 140 beside a door: end stud 0 to 48, jamb stud 92 to 140, 44 between: under 50. A nib of 146 leaves 50: a rail."""
    for nib, wanted in ((140, []), (146, [(48, 1476, 50)])):
        door = hole(nib, 900, 0, 2040)
        answer = work(wall(4200, openings=(door,), features=(feature(HEAVY, 70, 1500, width_mm=100),)))
        assert (rails(answer), said(answer)) == (wanted, [])


@pytest.mark.parametrize(
    ("second", "middles", "clash"),
    [(1000, [1000], False), (1024, [1000], False), (1025, [1000], True), (1048, [1000, 1048], False)],
)
def test_a_rail_serves_what_hangs_within_half_its_face(second: float, middles: list[float], clash: bool) -> None:
    """48 / 2 = 24; from 48 on the two lie clear of each other."""
    answer = on_4200(feature(HEAVY, 900, 1000), feature(HEAVY, 900, second))
    assert [y + 24 for _, y, _ in rails(answer)] == middles
    assert said(answer) == ([FindingCode.FEATURE_MEETS_FEATURE] if clash else [])


@pytest.mark.parametrize(("y", "meets"), [(933, False), (934, True), (1000, True), (1066, True), (1067, False)])
def test_a_box_keeps_clear_of_a_rail_too(y: float, meets: bool) -> None:
    """Rail 976 to 1024; the box is 75 high and keeps 5: 976 - 5 - 37.5 = 933.5, 1024 + 5 + 37.5 = 1066.5."""
    answer = on_4200(feature(HEAVY, 900, 1000), feature(SOCKET, 900, y))
    assert said(answer) == ([FindingCode.FEATURE_MEETS_FEATURE] if meets else [])


def test_hung_items_do_not_overlap_and_lie_on_the_face() -> None:
    """1000 wide at 900 and at 1800: 1400 is past 1300. At 300 it would begin 200 before the wall."""
    wide = {"width_mm": 1000, "height_mm": 600}
    first = feature(RADIATOR, 900, 450, **wide)
    assert said(on_4200(first, feature(HEAVY, 1800, 450, **wide))) == [FindingCode.FEATURE_MEETS_FEATURE]
    assert said(on_4200(first, feature(HEAVY, 1900, 450, **wide))) == []
    answer = on_4200(feature(RADIATOR, 300, 450, **wide))
    assert said(answer) == [FindingCode.FEATURE_OFF_FACE]
    assert [x for x, _, _ in rails(answer)] == [48, 48, 624, 624]  # to 800: two bays


def test_a_rail_belongs_to_the_wall_where_its_left_end_stands() -> None:
    """Two walls of 2000 in line, studs at 1800 and 2400. 100 wide at 50 of wall 2: 2000 to 2100, the rail begins at 1824."""
    answer = work(wall(2000, corner_deg=180), wall(2000, features=(feature(HEAVY, 50, 1500, width_mm=100),)))
    assert [(m.id, m.wall, m.x_mm, m.length_mm) for m in answer.supports] == [("1/1/support_rail-01", 1, 1824, 552)]


def test_studs_out_of_reach_of_each_other_carry_no_rail() -> None:
    """Clearance 5, head 2346: the strip of 54 would give a short stud of 49, under 50, so none stands on the line between. The
    jambs reach 2395 and could hold a rail from 2346 to 2394, but stand 2424 - 1176 = 1248 apart; 600 + 25 is in reach."""
    answer = work(
        wall(4200, openings=(hole(1200, 1200, 900, 2346),), features=(feature(HEAVY, 1800, 2370, width_mm=200),)),
        p=Parameters(stud_clearance_mm=5),
    )
    assert rails(answer) == []
    assert said(answer) == [FindingCode.FEATURE_UNSUPPORTED]
