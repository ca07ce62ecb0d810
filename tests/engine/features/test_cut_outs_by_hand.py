"""Rules V1 to V6 and V10 on walls worked by hand.

A wall of 4200 between unlined returns, 2400 high, d 100: the face runs from 0 to 4200, studs 48 wide stand at 24, 600, 1200 …
3600, 4176, over 0 to 2390; boards stop 10 above the floor. All figures are arithmetic on the rules (decisions of this project
and common practice, no published source); sizes of boxes, pipes and vents are from memory.
"""

import math

import pytest
from features.features_by_hand import cuts, feature, said, work, works
from insulation.walls_by_hand import hole, wall

from service.engine.features.place import FeatureWork
from service.engine.inputs import Feature
from service.engine.parameters import InvalidParameters, Parameters
from service.finding_codes import FindingCode, Severity
from service.vocabulary import Component, FeatureKind, UnitCode

SOCKET, SWITCH, PIPE, VENT = FeatureKind.SOCKET, FeatureKind.SWITCH, FeatureKind.PIPE, FeatureKind.VENT
RADIATOR, HEAVY = FeatureKind.RADIATOR, FeatureKind.HEAVY_ITEM


def on_4200(*features: Feature, p: Parameters | None = None) -> FeatureWork:
    return work(wall(4200, features=features), p=p)


def with_window(*features: Feature) -> FeatureWork:
    """1200 to 2400 along, 900 to 2100 up: jamb studs at 1176 and 2424, a line of short ones at 1800."""
    return work(wall(4200, openings=(hole(1200, 1200, 900, 2100),), features=features))


def used(answer: FeatureWork, component: Component) -> list[tuple[float, str]]:
    return [(u.quantity, u.terms) for u in answer.usages if u.component is component]


def test_a_double_socket_is_cut_and_taped_round() -> None:
    """135 × 75 round (900, 450): 832.5 to 967.5 and 412.5 to 487.5. Tape 2 × (135 + 50) + 2 × (75 + 50) = 620."""
    answer = on_4200(feature(SOCKET, 900, 450))
    assert cuts(answer) == [(832.5, 967.5, 412.5, 487.5)]
    (cut,) = answer.cuts
    assert (cut.room, cut.wall, cut.feature, cut.kind, cut.diameter_mm, cut.rules) == (1, 1, 1, SOCKET, None, ("V1", "V2"))
    assert used(answer, Component.LAP_TAPE) == [(0.62, "2 × 185 + 2 × 125 mm")]
    assert used(answer, Component.SEALANT) == []
    (tape,) = answer.usages
    assert (tape.unit, tape.members, tape.rules, tape.where) == (UnitCode.METRE, ("1/1/feature-1",), ("V6",), "round features")
    assert said(answer) == []
    assert (answer.supports, answer.fixings) == ((), ())


def test_a_switch_is_square_and_the_survey_may_say_otherwise() -> None:
    """75 × 75, tape 4 × (75 + 50) = 500. Given 150 × 90: tape 2 × 200 + 2 × 140 = 680."""
    answer = on_4200(feature(SWITCH, 900, 1200), feature(SWITCH, 2700, 1200, width_mm=150, height_mm=90))
    assert cuts(answer) == [(862.5, 937.5, 1162.5, 1237.5), (2625, 2775, 1155, 1245)]
    assert used(answer, Component.LAP_TAPE) == [(0.5, "4 × 125 mm"), (0.68, "2 × 200 + 2 × 140 mm")]
    assert [cut.diameter_mm for cut in answer.cuts] == [None, None]


def test_boxes_are_as_large_as_the_specification_says() -> None:
    p = Parameters(socket_box_width_mm=70, switch_box_width_mm=80, box_height_mm=60)
    assert cuts(on_4200(feature(SOCKET, 900, 450), feature(SWITCH, 2700, 1200), p=p)) == [
        (865, 935, 420, 480),
        (2660, 2740, 1170, 1230),
    ]


def test_a_pipe_is_a_round_hole_taped_and_filled() -> None:
    """22 + 2 × 5 = 32. Tape 4 × (22 + 50) = 288; bead π × 32 = 100.53."""
    answer = on_4200(feature(PIPE, 900, 450))
    assert cuts(answer) == [(884, 916, 434, 466)]
    assert answer.cuts[0].diameter_mm == 32
    assert used(answer, Component.LAP_TAPE) == [(0.288, "4 × 72 mm")]
    assert used(answer, Component.SEALANT) == [(0.1005, "π × 32 mm")]
    assert math.isclose(math.pi * 32, 100.53, abs_tol=0.01)


def test_a_vent_is_round_unless_two_sizes_differ() -> None:
    """125 + 10 = 135: tape 4 × 175 = 700, bead π × 135 = 424.1. 225 × 150: hole 235 × 160, tape 2 × 275 + 2 × 200 = 950,
    bead 2 × 235 + 2 × 160 = 790. One size, or two alike: round, 100 + 10."""
    answer = on_4200(
        feature(VENT, 900, 2000),
        feature(VENT, 1500, 2000, width_mm=225, height_mm=150),
        feature(VENT, 2100, 2000, height_mm=100),
        feature(VENT, 2700, 2000, width_mm=100, height_mm=100),
    )
    assert [c.diameter_mm for c in answer.cuts] == [135, None, 110, 110]
    assert cuts(answer)[:3] == [(832.5, 967.5, 1932.5, 2067.5), (1382.5, 1617.5, 1920, 2080), (2045, 2155, 1945, 2055)]
    assert used(answer, Component.LAP_TAPE)[:2] == [(0.7, "4 × 175 mm"), (0.95, "2 × 275 + 2 × 200 mm")]
    assert used(answer, Component.SEALANT)[:2] == [(0.4241, "π × 135 mm"), (0.79, "2 × 235 + 2 × 160 mm")]


@pytest.mark.parametrize(("x", "meets"), [(503.5, False), (504, True), (696, True), (696.5, False)])
def test_a_box_keeps_5_from_a_stud(x: float, meets: bool) -> None:
    """Stud 576 to 624: the box's edges at 571 and 629 are just clear, 571 - 67.5 = 503.5 and 629 + 67.5 = 696.5."""
    answer = on_4200(feature(SOCKET, x, 450))
    assert said(answer) == ([FindingCode.FEATURE_MEETS_STUD] if meets else [])
    assert len(answer.cuts) == 1


@pytest.mark.parametrize(
    ("x", "advice"),
    [(600, "97 mm further left"), (590, "87 mm further left"), (680, "17 mm further right"), (100, "21 mm further right")],
)
def test_it_says_which_way_is_nearest(x: float, advice: str) -> None:
    """On the stud's middle 96.5 either way: left. From 590, 86.5 to 503.5; from 680, 16.5 to 696.5. From 100, beside the end stud
    of 0 to 48: to its left the wall ends, to its right the box's edge must pass 53, and 53 + 67.5 - 100 = 20.5."""
    answer = on_4200(feature(SOCKET, x, 450))
    (found,) = (f for f in answer.findings if f.code is FindingCode.FEATURE_MEETS_STUD)
    assert advice in found.message
    assert (found.room, found.wall, found.severity) == (1, 1, Severity.WARNING)


def test_a_proposal_leaves_40_to_its_neighbours() -> None:
    """Left of the stud at 600 a box may end at 571 and would begin at 436; the box of the socket at 480 ends at 547.5. So right:
    696.5 - 640 = 56.5."""
    answer = on_4200(feature(SOCKET, 480, 450), feature(SOCKET, 640, 450))
    (found,) = (f for f in answer.findings if f.code is FindingCode.FEATURE_MEETS_STUD)
    assert "57 mm further right" in found.message


def test_where_no_place_is_free_it_says_so() -> None:
    """Studs at 300 leave 252 between them; a hole of 250 + 10 fits in no bay."""
    answer = on_4200(feature(VENT, 900, 1500, width_mm=250, height_mm=100), p=Parameters(stud_centres_mm=300))
    (found,) = (f for f in answer.findings if f.code is FindingCode.FEATURE_MEETS_STUD)
    assert "no place beside it at this height is free" in found.message


def test_over_a_window_the_short_stud_counts_and_within_its_height_none() -> None:
    """Short studs at 1800 from 2100 to 2390 and from 0 to 890."""
    assert said(with_window(feature(PIPE, 1800, 2250))) == [FindingCode.FEATURE_MEETS_STUD]
    assert said(with_window(feature(PIPE, 1800, 450))) == [FindingCode.FEATURE_MEETS_STUD]
    assert said(with_window(feature(PIPE, 1500, 2250))) == []


def test_nothing_is_cut_in_an_opening_or_across_its_edge() -> None:
    """A pipe's hole of 32 round 890 reaches 906, past the sill at 900; at 884 it just touches it."""
    inside = with_window(feature(SWITCH, 1500, 1200))
    assert (said(inside), inside.cuts, inside.usages) == ([FindingCode.FEATURE_MEETS_OPENING], (), ())
    assert [f.opening for f in inside.findings if f.code is FindingCode.FEATURE_MEETS_OPENING] == [1]
    assert with_window(feature(PIPE, 1500, 890)).cuts == ()
    touching = with_window(feature(PIPE, 1500, 884))
    assert (said(touching), len(touching.cuts)) == ([FindingCode.FEATURE_NEAR_EDGE], 1)


@pytest.mark.parametrize(("y", "left"), [(844, None), (845, "39 mm"), (850, "34 mm")])
def test_40_of_board_stay_under_a_sill(y: float, left: str | None) -> None:
    """900 - 16 - 844 = 40."""
    answer = with_window(feature(PIPE, 1500, y))
    found = [f for f in answer.findings if f.code is FindingCode.FEATURE_NEAR_EDGE]
    assert [(left or "") in f.message and f.opening == 1 for f in found] == ([True] if left else [])
    assert len(answer.cuts) == 1


def test_a_cut_out_lies_wholly_on_the_face() -> None:
    """2400 high: a socket's top at 2370 + 37.5 is 7.5 past it. Its edge at 30 - 67.5 is 37.5 before the wall. 30 - 16 = 14 over
    the floor leaves 4 over the boards' foot at 10, and 25 - 16 = 9 is past it."""
    above = on_4200(feature(SOCKET, 900, 2370))
    assert (said(above), above.cuts, above.usages) == ([FindingCode.FEATURE_OFF_FACE], (), ())
    assert "8 mm past the top" in above.findings[-1].message
    assert said(on_4200(feature(SOCKET, 30, 450))) == [FindingCode.FEATURE_OFF_FACE]
    low = on_4200(feature(PIPE, 900, 30))
    assert (said(low), len(low.cuts)) == ([FindingCode.FEATURE_NEAR_EDGE], 1)
    assert said(on_4200(feature(PIPE, 900, 25))) == [FindingCode.FEATURE_OFF_FACE]


def test_behind_the_neighbours_finished_face_there_is_none() -> None:
    """A corner of two linings: the right-hand face begins at 112.5. The end stud stands from 100 to 148: a pipe of 32 is on the
    face from 112.5 + 16 = 128.5, and meets the stud there."""
    for x, code in ((128, FindingCode.FEATURE_OFF_FACE), (129, FindingCode.FEATURE_MEETS_STUD)):
        answer = works(wall(3000), wall(2400, features=(feature(PIPE, x, 450),)))[1]
        assert code in said(answer)


def test_past_an_external_corner_the_face_runs_on() -> None:
    """The left-hand frame runs 100 past its masonry corner at 1500, its end stud from 1552 to 1600. A pipe at 1520 is cut from
    1504 to 1536, clear of it by 16; the face ends at 1600, so 64 of board are left."""
    walls = (wall(1500, corner_deg=270, features=(feature(PIPE, 1520, 450),)), wall(1500))
    answer = works(*walls)[0]
    assert cuts(answer) == [(1504, 1536, 434, 466)]
    assert said(answer) == []


def test_under_a_rake_the_lower_side_decides() -> None:
    """2400 falls to 1200 over 3000, 0.4 a mm. A switch 75 wide at 2700 has its right edge at 2737.5: 2400 - 1095 = 1305. Its
    top is 37.5 over its middle: on the face up to 1267.5."""
    for y, wanted in ((1267.5, 1), (1268, 0)):
        answer = work(wall(3000, 2400, 1200, features=(feature(SWITCH, 2700, y),)))
        assert len(answer.cuts) == wanted


@pytest.mark.parametrize(("x", "made", "found"), [(934, 1, True), (935, 2, True), (974, 2, True), (975, 2, False)])
def test_two_sockets_side_by_side(x: float, made: int, found: bool) -> None:
    """Boxes of 135 at 800 and x: they overlap under 935, and have 40 between them from 975."""
    answer = on_4200(feature(SOCKET, 800, 450), feature(SOCKET, x, 450))
    assert len(answer.cuts) == made
    assert said(answer) == ([FindingCode.FEATURE_MEETS_FEATURE] if found else [])


def test_the_first_in_the_survey_is_the_one_that_is_cut() -> None:
    answer = on_4200(feature(PIPE, 900, 450), feature(SOCKET, 900, 450))
    assert [c.feature for c in answer.cuts] == [1]
    message = next(f.message for f in answer.findings if f.code is FindingCode.FEATURE_MEETS_FEATURE)
    assert message == "Socket (feature 2) overlaps the pipe (feature 1): nothing more is cut for it."


def test_what_must_stay_in_reach_or_open_is_not_behind_what_hangs() -> None:
    """A radiator 500 × 600 at (900, 450), its rails from 201 to 249 and 651 to 699: a socket, or a vent, at 450 is behind it; a
    pipe may be. A heavy item hides a vent, and may hide a socket."""
    radiator = feature(RADIATOR, 900, 450, width_mm=500, height_mm=600)
    heavy = feature(HEAVY, 900, 450, width_mm=500, height_mm=600)
    for hung, kind, wanted in (
        (radiator, SOCKET, True),
        (radiator, VENT, True),
        (radiator, PIPE, False),
        (heavy, SOCKET, False),
        (heavy, VENT, True),
    ):
        answer = on_4200(hung, feature(kind, 900, 450))
        assert said(answer) == ([FindingCode.FEATURE_MEETS_FEATURE] if wanted else []), (hung.kind, kind)
        assert len(answer.cuts) == 1


def test_a_joined_wall_has_its_features_where_the_run_passes() -> None:
    """Two walls of 2000 in line. Wall 2's socket at 100 stands at 2100 of the run. Wall 1's at 2300 would stand on wall 2."""
    first = wall(2000, corner_deg=180, features=(feature(SOCKET, 2300, 450),))
    answer = work(first, wall(2000, features=(feature(SOCKET, 100, 450),)))
    assert [(c.wall, c.feature, c.x0_mm, c.x1_mm) for c in answer.cuts] == [(2, 1, 2032.5, 2167.5)]
    assert [(f.code, f.wall) for f in answer.findings if f.severity is Severity.WARNING] == [(FindingCode.FEATURE_OFF_FACE, 1)]
    assert "300 mm past the end of its wall" in answer.findings[0].message + answer.findings[1].message


def test_each_feature_belongs_to_one_stretch() -> None:
    """The ceiling comes down to 100 between two walls in line and ends the frame at 300, 2400 - 1.15 x = 300: x = 1826. A pipe at
    1900 and one at 100 of wall 2 stand where the height is under 300, each next to its own wall's stretch."""
    pipes = (feature(PIPE, 900, 450), feature(PIPE, 1900, 150))
    first = wall(2000, 2400, 100, corner_deg=180, features=pipes)
    left, right = works(first, wall(2000, 100, 2400, features=(feature(PIPE, 100, 150), feature(PIPE, 900, 450))))
    assert [(c.wall, c.feature) for c in left.cuts] == [(1, 1)]
    assert [(c.wall, c.feature) for c in right.cuts] == [(2, 2)]
    assert said(left) == said(right) == [FindingCode.FEATURE_OFF_FACE]


def test_an_unlined_wall_carries_none() -> None:
    answer = work(wall(3000), wall(2000, lined=False, features=(feature(SOCKET, 900, 450),)))
    assert (answer.cuts, answer.findings) == ((), ())


def test_walls_with_electrical_features_pipes_and_vents_carry_a_caution() -> None:
    answer = on_4200(
        feature(SOCKET, 900, 450), feature(SWITCH, 1500, 1200), feature(SOCKET, 2100, 450), feature(PIPE, 2700, 450),
        feature(VENT, 3300, 2000), feature(RADIATOR, 3300, 450),
    )  # fmt: skip
    electrical, gas = (
        next(f for f in answer.findings if f.code is code) for code in (FindingCode.FEATURE_ELECTRICAL, FindingCode.FEATURE_GAS)
    )
    assert electrical.message.startswith("2 sockets and 1 switch.")
    assert gas.message.startswith("1 pipe and 1 vent.")
    for found, licensed in ((electrical, "licensed electrician"), (gas, "licensed gas engineer")):
        assert found.severity is Severity.INFO
        assert all(words in found.message for words in ("isolate", licensed, "local code"))
    assert said(on_4200(feature(RADIATOR, 900, 450))) == []
    assert on_4200(feature(RADIATOR, 900, 450)).findings == ()


def test_a_support_cannot_be_taken_to_carry_less_than_a_board() -> None:
    with pytest.raises(InvalidParameters, match="board_carries_kg"):
        Parameters(board_carries_kg=50, support_carries_kg=40)
