"""Rules M1 to M4 on walls worked by hand. d 100, lap 100, oversize 50, roll 1500 × 50000 unless a test says else.

All figures are arithmetic on the setting-out rules (decisions of this project and common practice, no published source).
"""

import pytest
from insulation.walls_by_hand import framed, hole, wall

from service.engine.inputs import Wall
from service.engine.membrane.drape import drape
from service.engine.parameters import Parameters
from service.engine.results import Finding, FlatPiece, Usage
from service.finding_codes import FindingCode
from service.vocabulary import Component, OpeningKind, PieceRole, UnitCode

ROLL = (1500, 50000)
Draped = tuple[list[FlatPiece], list[Usage], list[Finding]]


def draped(*walls: Wall, closed: bool = False, p: Parameters | None = None, roll: tuple[int, int] = ROLL) -> Draped:
    p = p or Parameters()
    pieces: list[FlatPiece] = []
    usages: list[Usage] = []
    found: list[Finding] = []
    for lined in framed(*walls, closed=closed, parameters=p):
        more = drape(lined, p, *roll)
        pieces, usages, found = pieces + more[0], usages + more[1], found + more[2]
    return pieces, usages, found


def drops(answer: Draped, wall_ordinal: int = 1) -> list[tuple[float, float, float]]:
    """x, width, length of each drop."""
    here = [one for one in answer[0] if one.wall == wall_ordinal and one.role is PieceRole.MEMBRANE_DROP]
    return [(round(one.x_mm, 1), one.width_mm, one.length_mm) for one in here]


def strips(answer: Draped, wall_ordinal: int = 1) -> list[tuple[float, float, float, float]]:
    """x, y, width, length of each strip into a reveal."""
    here = [one for one in answer[0] if one.wall == wall_ordinal and one.role is PieceRole.MEMBRANE_STRIP]
    return [(one.x_mm, one.y_mm, one.width_mm, one.length_mm) for one in here]


def metres(answer: Draped, component: Component, where: str, wall_ordinal: int = 1) -> float:
    return sum(one.quantity for one in answer[1] if (one.component, one.where, one.wall) == (component, where, wall_ordinal))


def test_a_wall_between_unlined_returns_has_drops_from_end_to_end() -> None:
    """F = 4200; n = ceil(4100 / 1400) = 3; starts 0, 1400, 2800; the last 4200 - 2800 = 1400 wide.

    2400 + 50 = 2450.
    """
    answer = draped(wall(4200))
    assert drops(answer) == [(0, 1500, 2450), (1400, 1500, 2450), (2800, 1400, 2450)]
    assert [piece.id for piece in answer[0]] == [f"1/1/membrane_drop-0{n}" for n in (1, 2, 3)]
    assert {(piece.component, piece.rules) for piece in answer[0]} == {(Component.VCL_MEMBRANE, ("M1",))}


@pytest.mark.parametrize(
    ("length", "count", "last"), [(1500, 1, 1500), (1501, 2, 101), (2900, 2, 1500), (2901, 3, 101), (90, 1, 90)]
)
def test_one_millimetre_more_than_the_drops_cover_takes_one_more(length: int, count: int, last: float) -> None:
    """1500 + 1400 = 2900 from two drops. What remains is always more than the lap of 100."""
    found = drops(draped(wall(length)))
    assert (len(found), found[-1][1]) == (count, last)


def test_a_square_room_laps_each_corner_once() -> None:
    """3000 × 2400, closed: frame lines 2800 and 2200, F = 2900 and 2300.

    2800 / 1400 = 2 drops of 1500; 2200 / 1400 → 2 drops, 1500 and 2300 - 1400 = 900. First at 100, second at 1500.
    Lap tape at the corner 2450 a wall; between drops 2450 a wall. Tape on the ceiling channel 2.8 m and 2.2 m.
    Beads along floor and ceiling channel alike; no end meets anything unlined.
    """
    answer = draped(wall(3000), wall(2400), wall(3000), wall(2400), closed=True)
    assert drops(answer, 1) == drops(answer, 3) == [(100, 1500, 2450), (1500, 1500, 2450)]
    assert drops(answer, 2) == drops(answer, 4) == [(100, 1500, 2450), (1500, 900, 2450)]
    for ordinal, channel in ((1, 2.8), (2, 2.2), (3, 2.8), (4, 2.2)):
        assert metres(answer, Component.LAP_TAPE, "laps between drops", ordinal) == 2.45
        assert metres(answer, Component.LAP_TAPE, "lap at the corner", ordinal) == 2.45
        assert metres(answer, Component.DOUBLE_SIDED_TAPE, "ceiling channel", ordinal) == channel
        assert metres(answer, Component.SEALANT, "floor channel", ordinal) == channel
        assert metres(answer, Component.SEALANT, "ceiling channel", ordinal) == channel
        assert metres(answer, Component.SEALANT, "ends", ordinal) == 0


def test_the_corner_of_a_high_and_a_low_wall_is_taped_as_high_as_the_low_one() -> None:
    """2700 beside 2400: 2400 + 50 = 2450."""
    assert metres(draped(wall(2000, 2700), wall(2000)), Component.LAP_TAPE, "lap at the corner") == 2.45


def test_a_window_gets_strips_at_head_and_sill() -> None:
    """Window 1200 × 1200 with a reveal of 150: strips 150 + 100 + 100 = 350 wide; half its width, 600, is over 150 + 100 + 50.

    Tape: strips 2 × 1.2; round the opening 4 × 1.2. Wall 4200: laps 1400-1500 and 2800-2900, 2 × 2.45.
    """
    answer = draped(wall(4200, openings=(hole(1200, 1200, 900, 2100, reveal_depth_mm=150),)))
    assert strips(answer) == [(1200, 900, 350, 1200), (1200, 2100, 350, 1200)]
    assert [one.opening for one in answer[0] if one.role is PieceRole.MEMBRANE_STRIP] == [1, 1]
    assert metres(answer, Component.LAP_TAPE, "strips into reveals") == 2.4
    assert metres(answer, Component.LAP_TAPE, "round openings") == 4.8
    assert metres(answer, Component.LAP_TAPE, "laps between drops") == 4.9


@pytest.mark.parametrize(("width", "wanted"), [(599, 4), (600, 2)])
def test_jambs_of_a_narrow_opening_get_strips_too(width: int, wanted: int) -> None:
    """Half of 599 is 299.5, under 150 + 100 + 50 = 300; half of 600 is not. Jambs 1200 high."""
    answer = draped(wall(3000, openings=(hole(1000, width, 900, 2100, reveal_depth_mm=150),)))
    found = strips(answer)
    assert len(found) == wanted
    if wanted == 4:
        assert found == [(1000, 900, 350, 599), (1000, 900, 350, 1200), (1000, 2100, 350, 599), (1599, 900, 350, 1200)]
        assert metres(answer, Component.LAP_TAPE, "strips into reveals") == pytest.approx(2 * 0.599 + 2 * 1.2)


def test_a_door_has_no_sill_to_dress_or_tape_and_breaks_the_floor_bead() -> None:
    """Door 838 × 2040 from 300 in a wall of 4200, no reveal: one strip 100 + 100 wide at the head; half of 838 is over 150.

    Round it 2 × 2040 + 838 = 4918; floor bead 300 + (4200 - 1138) = 3362; ceiling 4200; ends 2 × 2400.
    """
    answer = draped(wall(4200, openings=(hole(300, 838, 0, 2040, OpeningKind.DOOR),)))
    assert strips(answer) == [(300, 2040, 200, 838)]
    assert metres(answer, Component.LAP_TAPE, "round openings") == 4.918
    assert metres(answer, Component.SEALANT, "floor channel") == 3.362
    assert metres(answer, Component.SEALANT, "ceiling channel") == 4.2
    assert metres(answer, Component.SEALANT, "ends") == 4.8


def test_glazing_from_floor_to_ceiling_has_no_strips_and_breaks_both_channels() -> None:
    """1500 to 2700, 40 from floor and ceiling: channels 4200 - 1200 = 3000. Round it 2 × 2320 + 1200 (the head), 5840."""
    answer = draped(wall(4200, openings=(hole(1500, 1200, 40, 2360),)))
    assert strips(answer) == []
    assert metres(answer, Component.DOUBLE_SIDED_TAPE, "ceiling channel") == 3.0
    assert metres(answer, Component.SEALANT, "floor channel") == 3.0
    assert metres(answer, Component.LAP_TAPE, "round openings") == 5.84


def test_a_hearth_is_not_dressed_into_its_reveal() -> None:
    """Its reveal of 300 is not lined: the strip returns to the masonry, 100 + 100."""
    answer = draped(wall(3000, openings=(hole(1000, 1000, 0, 900, OpeningKind.HEARTH, reveal_depth_mm=300),)))
    assert strips(answer) == [(1000, 900, 200, 1000)]


def test_the_membrane_returns_round_a_stop_end() -> None:
    """1000 to an external corner beside an unlined wall: frame line 987.5, F = 987.5 + 100 + 100 = 1187.5, one drop.

    The beads: 2400 at the unlined left-hand end and 2400 at the stop end.
    """
    answer = draped(wall(1000, corner_deg=270), wall(1000, lined=False))
    assert drops(answer) == [(0, 1187.5, 2450)]
    assert answer[0][0].rules == ("F2", "M1")
    assert answer[0][0].area_mm2 == pytest.approx(1187.5 * 2450)
    assert metres(answer, Component.SEALANT, "ends") == 4.8
    assert metres(answer, Component.LAP_TAPE, "lap at the corner") == 0


def test_a_breast_with_bare_cheeks_is_wrapped_at_both_ends() -> None:
    """1400 between stop ends: frame 1375, F = 1375 + 2 × 200 = 1775 from 12.5 - 200; 1675 / 1400 → 2, 1500 and 375."""
    answer = draped(wall(900, lined=False, corner_deg=270), wall(1400, corner_deg=270), wall(900, lined=False))
    assert drops(answer, 2) == [(-187.5, 1500, 2450), (1212.5, 375, 2450)]


def test_round_a_lined_breast_the_membrane_laps_at_outer_corners_as_at_inner_ones() -> None:
    """Breast 1200 between cheeks of 350: frame 1200 + 100 + 100, from -100; F = 1400 + 100 = 1500, one drop.

    Left cheek: from 100 to 350 + 100, 350 long, F = 450. Right cheek: from -100 to 350 - 100 = 250, 350 long, F = 450.
    """
    answer = draped(wall(1500), wall(350, corner_deg=270), wall(1200, corner_deg=270), wall(350), wall(1500))
    assert drops(answer, 2) == [(100, 450, 2450)]
    assert drops(answer, 3) == [(-100, 1500, 2450)]
    assert drops(answer, 4) == [(-100, 450, 2450)]
    assert [metres(answer, Component.LAP_TAPE, "lap at the corner", n) for n in (1, 2, 3, 4, 5)] == [2.45] * 4 + [0]


def test_under_a_rake_each_drop_has_its_own_greatest_height() -> None:
    """2400 falls to 1800 over 3000, 0.2 a mm. Drops 0-1500, 1400-2900, 2800-3000: 2400, 2120, 1840, each + 50.

    Laps begin at 1400 and 2800: 2120 + 50 and 1840 + 50, 4060 in all. Ceiling: hypot(3000, 600) = 3059.4. Ends 2400 + 1800.
    """
    answer = draped(wall(3000, 2400, 1800))
    assert drops(answer) == [(0, 1500, 2450), (1400, 1500, 2170), (2800, 200, 1890)]
    assert metres(answer, Component.LAP_TAPE, "laps between drops") == 4.06
    assert metres(answer, Component.DOUBLE_SIDED_TAPE, "ceiling channel") == 3.0594
    assert metres(answer, Component.SEALANT, "floor channel") == 3.0
    assert metres(answer, Component.SEALANT, "ends") == 4.2


def test_along_a_flight_a_drop_reaches_from_its_lowest_point_to_its_highest() -> None:
    """Floor and ceiling rise 0.6 a mm, 2400 apart: over 1500 they rise 900; 2400 + 900 + 50 = 3350. Its lap is 2400 + 50."""
    answer = draped(wall(2900, 2400, floor_left_mm=0, floor_right_mm=1740))
    assert drops(answer) == [(0, 1500, 3350), (1400, 1500, 3350)]
    assert answer[0][0].area_mm2 == pytest.approx(1500 * 2450)
    assert metres(answer, Component.LAP_TAPE, "laps between drops") == 2.45


def test_a_drop_longer_than_the_roll_is_lapped() -> None:
    """5000 + 50 = 5050 from a roll of 3000: two pieces of (5050 + 100) / 2 = 2575, the upper from 2475. The lap is 1000 wide."""
    answer = draped(wall(1000, 5000), roll=(1500, 3000))
    assert [(one.y_mm, one.length_mm) for one in answer[0]] == [(0, 2575), (2475, 2575)]
    assert metres(answer, Component.LAP_TAPE, "laps between drops") == 1.0


def test_walls_in_one_line_share_their_drops_and_keep_their_own_beads() -> None:
    """1000 and 2600 at 180: F = 3600, (3600 - 100) / 1400 → 3 drops at 0, 1400, 2800. Channel 1.0 m and 2.6 m."""
    answer = draped(wall(1000, corner_deg=180), wall(2600))
    assert drops(answer, 1) == [(0, 1500, 2450)]
    assert drops(answer, 2) == [(400, 1500, 2450), (1800, 800, 2450)]
    assert [metres(answer, Component.SEALANT, "floor channel", n) for n in (1, 2)] == [1.0, 2.6]
    assert [metres(answer, Component.SEALANT, "ends", n) for n in (1, 2)] == [2.4, 2.4]


def test_a_corner_beside_a_wall_without_lining_is_sealed_instead_of_lapped() -> None:
    """A recess of 180 has no room for a frame: the wall to its left ends 100 short of it, with a bead of 2400, and no lap."""
    answer = draped(wall(2000), wall(180), wall(2000))
    assert drops(answer) == [(0, 1500, 2450), (1400, 500, 2450)]
    assert metres(answer, Component.SEALANT, "ends") == 4.8
    assert metres(answer, Component.LAP_TAPE, "lap at the corner") == 0


def test_where_the_ceiling_ends_the_frame_no_bead_runs_up() -> None:
    """2400 to 0 over 3000 ends at 2625, where 300 are left; the one bead is that of the left-hand end."""
    answer = draped(wall(3000, 2400, 0))
    assert drops(answer)[-1][:2] == (1400, 1225)
    assert metres(answer, Component.SEALANT, "ends") == 2.4


def test_an_opening_that_the_low_ceiling_cuts_is_dressed_as_far_as_the_frame_goes() -> None:
    """The frame ends at 2625 within a hatch from 2400 to 2800, sill 0, head 150: its head is 225 long there, one jamb 150 high.

    Half of 400 is over 150, so no jamb is dressed; tape round it 150 + 225.
    """
    answer = draped(wall(3000, 2400, 0, openings=(hole(2400, 400, 0, 150),)))
    assert strips(answer) == [(2400, 150, 200, 225)]
    assert metres(answer, Component.LAP_TAPE, "round openings") == 0.375


def test_a_jamb_behind_a_stop_end_is_not_dressed() -> None:
    """The window begins 5 from the corner, the frame at 12.5: its head and sill are 305 - 12.5 = 292.5 long there, and of its
    jambs, 1200 high, only the right-hand one is dressed and taped. Round it 1200 + 2 × 292.5."""
    window = hole(5, 300, 900, 2100, reveal_depth_mm=150)
    answer = draped(wall(900, lined=False, corner_deg=270), wall(2000, openings=(window,)))
    assert strips(answer, 2) == [(12.5, 900, 350, 292.5), (12.5, 2100, 350, 292.5), (305, 900, 350, 1200)]
    assert metres(answer, Component.LAP_TAPE, "round openings", 2) == 1.785


def test_lap_oversize_and_offset_come_from_the_specification() -> None:
    """d 120, lap 150, oversize 80, roll 1000: F = 2000, (2000 - 150) / 850 → 3 drops, the last 2000 - 1700 = 300; 2480 long."""
    p = Parameters(frame_offset_mm=120, membrane_lap_mm=150, membrane_oversize_mm=80)
    answer = draped(wall(2000, openings=(hole(600, 800, 900, 2000, reveal_depth_mm=100),)), p=p, roll=(1000, 50000))
    assert drops(answer) == [(0, 1000, 2480), (850, 1000, 2480), (1700, 300, 2480)]
    assert strips(answer) == [(600, 900, 370, 800), (600, 2000, 370, 800)]


def test_a_roll_no_wider_than_a_lap_is_refused_in_words() -> None:
    pieces, usages, (found,) = draped(wall(2000), roll=(100, 50000))
    assert (pieces, usages) == ([], [])
    assert (found.code, found.component, found.wall) == (FindingCode.NOT_IN_RANGE, Component.VCL_MEMBRANE, 1)
    assert "100 mm wide" in found.message


def test_every_seal_says_its_sum_its_pieces_and_its_rules() -> None:
    """Two laps of 2450 are told as one product; the pieces are the drops that they join."""
    answer = draped(wall(4200))
    (laps,) = (one for one in answer[1] if one.where == "laps between drops")
    assert (laps.terms, laps.quantity, laps.unit, laps.rules) == ("2 × 2450 mm", 4.9, UnitCode.METRE, ("M1", "M3"))
    assert laps.members == ("1/1/membrane_drop-01", "1/1/membrane_drop-02", "1/1/membrane_drop-03")
