"""Rules I1 to I3 on walls worked by hand. Oversize 15, insulation 80 thick, roll 1200 × 8000 unless a test says else.

All figures are arithmetic on the setting-out rules (decisions of this project and common practice, no published source).
"""

import math

import pytest
from insulation.walls_by_hand import framed, hole, wall

from service.engine.inputs import Wall
from service.engine.insulation.insulate import insulate
from service.engine.parameters import Parameters
from service.engine.results import FlatPiece
from service.vocabulary import Component, OpeningKind, PieceRole

ROLL = (1200, 8000)


def pieces(*walls: Wall, closed: bool = False, p: Parameters | None = None, roll: tuple[int, int] = ROLL) -> list[FlatPiece]:
    p = p or Parameters()
    return [piece for lined in framed(*walls, closed=closed, parameters=p) for piece in insulate(lined, p, *roll)[0]]


def placed(found: list[FlatPiece], wall_ordinal: int = 1) -> list[tuple[float, float, float, float]]:
    """x, y, width, length of each piece of a wall."""
    here = [piece for piece in found if piece.wall == wall_ordinal]
    return [(round(piece.x_mm, 1), round(piece.y_mm, 1), piece.width_mm, piece.length_mm) for piece in here]


def test_a_plain_wall_between_unlined_returns_is_covered_from_corner_to_corner() -> None:
    """4200 = 3 × 1200 + 600; 2400 + 15 = 2415. The frame stands off the masonry, the insulation does not."""
    found = pieces(wall(4200))
    assert placed(found) == [(0, 0, 1200, 2415), (1200, 0, 1200, 2415), (2400, 0, 1200, 2415), (3600, 0, 600, 2415)]
    assert [piece.id for piece in found] == [f"1/1/insulation-0{n}" for n in (1, 2, 3, 4)]
    assert [piece.rules for piece in found] == [("I2",), ("I2",), ("I2",), ("I2", "I3")]
    assert {(piece.component, piece.role) for piece in found} == {(Component.INSULATION_ROLL, PieceRole.INSULATION)}


def test_a_window_divides_the_wall_into_three_zones() -> None:
    """Wall 4200, window 1200 to 2400, sill 900, head 2100.

    left zone 0 to 1200: one strip 2415. Over the window: 900 + 15 = 915 from the floor, 2400 - 2100 + 15 = 315 from the head.
    right zone 2400 to 4200: 1200 and 600.
    """
    assert placed(pieces(wall(4200, openings=(hole(1200, 1200, 900, 2100),)))) == [
        (0, 0, 1200, 2415),
        (1200, 0, 1200, 915),
        (1200, 2100, 1200, 315),
        (2400, 0, 1200, 2415),
        (3600, 0, 600, 2415),
    ]


def test_edges_within_50_of_floor_and_ceiling_leave_no_strip() -> None:
    """A door to 2040 leaves 2400 - 2040 + 15 = 375 above; glazing from 50 to 2350 nothing at all; a sill of 51 leaves 51 + 15."""
    door, glazing, low = hole(300, 900, 0, 2040, OpeningKind.DOOR), hole(1500, 900, 50, 2350), hole(2700, 900, 51, 2100)
    found = placed(pieces(wall(3900, openings=(door, glazing, low))))
    assert [one for one in found if one[0] == 300] == [(300, 2040, 900, 375)]
    assert [one for one in found if one[0] == 1500] == []
    assert [one for one in found if one[0] == 2700] == [(2700, 0, 900, 66), (2700, 2100, 900, 315)]


def test_openings_above_each_other_leave_a_strip_between_them_zone_by_zone() -> None:
    """Lower window 500 to 2500, sill 600, head 1200; upper 1000 to 3000, sill 1500, head 2000; wall 3500, roll wide enough.

    500-1000: below the lower 615; above it 2400 - 1200 + 15 = 1215.
    1000-2500: 615; between them 1500 - 1200 + 15 = 315; above the upper 2400 - 2000 + 15 = 415.
    2500-3000: below the upper 1515; above it 415.
    """
    windows = (hole(500, 2000, 600, 1200), hole(1000, 2000, 1500, 2000))
    assert placed(pieces(wall(3500, openings=windows), roll=(2000, 8000))) == [
        (0, 0, 500, 2415),
        (500, 0, 500, 615), (500, 1200, 500, 1215),
        (1000, 0, 1500, 615), (1000, 1200, 1500, 315), (1000, 2000, 1500, 415),
        (2500, 0, 500, 1515), (2500, 2000, 500, 415),
        (3000, 0, 500, 2415),
    ]  # fmt: skip


def test_under_a_rake_each_strip_is_as_long_as_its_higher_edge_needs() -> None:
    """2400 falls to 1800 over 3000: 0.2 a mm. Strips 0-1200, 1200-2400, 2400-3000: heights 2400, 2160, 1920, 1800.

    lengths 2415, 2175, 1935; right-hand edges 2175, 1935, 1815; area of the first 1200 × (2415 + 2175) / 2 = 2 754 000.
    """
    found = pieces(wall(3000, 2400, 1800))
    assert placed(found) == [(0, 0, 1200, 2415), (1200, 0, 1200, 2175), (2400, 0, 600, 1935)]
    assert [(one.height_left_mm, one.height_right_mm) for one in found] == [(2415, 2175), (2175, 1935), (1935, 1815)]
    assert found[0].area_mm2 == pytest.approx(2_754_000)


def test_along_a_flight_a_strip_reaches_from_its_lowest_point_to_its_highest() -> None:
    """Floor and ceiling rise 1800 over 3000, 0.6 a mm, 2400 apart. Over 1200 they rise 720: 2400 alone would not reach both.

    length 2400 + 720 + 15 = 3135; right-hand edge from 720 to 3135; third strip 600 wide: 2400 + 360 + 15 = 2775.
    area of the first 1200 × 2415 = 2 898 000.
    """
    found = pieces(wall(3000, 2400, floor_left_mm=0, floor_right_mm=1800))
    assert placed(found) == [(0, 0, 1200, 3135), (1200, 720, 1200, 3135), (2400, 1440, 600, 2775)]
    assert (found[0].foot_left_mm, found[0].foot_right_mm) == (0, 720)
    assert (found[0].height_left_mm, found[0].height_right_mm) == (2415, 3135)
    assert found[0].area_mm2 == pytest.approx(2_898_000)


def test_the_floor_out_of_level_gives_the_strip_its_greatest_height() -> None:
    """The floor falls from 0 to -30 over 1200, the ceiling is level at 2400: greatest height 2430, length 2445."""
    (strip,) = pieces(wall(1200, 2400, 2430, floor_left_mm=0, floor_right_mm=-30))
    assert (strip.y_mm, strip.length_mm, strip.foot_left_mm, strip.foot_right_mm) == (-30, 2445, 30, 0)


def test_a_strip_longer_than_the_roll_is_made_of_equal_pieces() -> None:
    """5000 + 15 = 5015 from a roll of 2000: three pieces of 5015 / 3 = 1671.7, one above the other."""
    found = pieces(wall(1200, 5000), roll=(1200, 2000))
    assert placed(found) == [(0, 0, 1200, 1671.7), (0, 1671.7, 1200, 1671.7), (0, 3343.3, 1200, 1671.7)]
    assert {piece.rules for piece in found} == {("I2", "I3")}


def test_a_rake_that_passes_from_piece_to_piece_is_trimmed_in_place() -> None:
    """3000 falls to 1000 over 1200; 3015 from a roll of 2000: two of 1507.5. The ceiling meets the right-hand edge at 1015,
    within the lower piece: that one is cut square. The upper one comes down to nothing."""
    lower, upper = pieces(wall(1200, 3000, 1000), roll=(1200, 2000))
    assert (lower.height_left_mm, lower.height_right_mm) == (1507.5, 1507.5)
    assert (upper.y_mm, upper.height_left_mm, upper.height_right_mm) == (1507.5, 1507.5, 0)


def test_square_rooms_cover_every_corner_once() -> None:
    """3000 × 2400, closed. Each wall starts 80 in from its left-hand corner and runs to its right-hand one: 2920 and 2320.

    In plan: 2 × (2920 + 2320) × 80 = 838 400 = 2 × (3000 + 2400) × 80 - 4 × 80 × 80, the ring of 80 along the walls.
    """
    found = pieces(wall(3000), wall(2400), wall(3000), wall(2400), closed=True)
    assert placed(found, 1) == [(80, 0, 1200, 2415), (1280, 0, 1200, 2415), (2480, 0, 520, 2415)]
    assert placed(found, 2) == [(80, 0, 1200, 2415), (1280, 0, 1120, 2415)]
    assert sum(piece.width_mm for piece in found) == 2 * (2920 + 2320)
    assert found[0].rules == ("I1", "I2")


def test_round_a_chimney_breast_the_left_hand_insulation_runs_past_the_outer_corner() -> None:
    """Cheeks of 350 beside a breast of 1200. Corners 90, 270, 270, 90.

    left cheek: from 80 to 350 + 80 = 430, 350 long. Breast: from 0 to 1200 + 80 = 1280. Right cheek: from 0 to its corner, 350.
    """
    found = pieces(wall(1500), wall(350, corner_deg=270), wall(1200, corner_deg=270), wall(350), wall(1500), roll=(1300, 8000))
    assert placed(found, 2) == [(80, 0, 350, 2415)]
    assert placed(found, 3) == [(0, 0, 1280, 2415)]
    assert placed(found, 4) == [(0, 0, 350, 2415)]


def test_an_acute_corner_starts_the_right_hand_insulation_further_in() -> None:
    """60 degrees: 80 × cot 30 = 138.6 in. The left-hand one runs to its masonry corner, its front 80 × cot 60 = 46.2 shorter.

    Width of the second wall's: 2000 - 138.6 = 1861.4 = 1200 + 661.4.
    """
    found = pieces(wall(2000, corner_deg=60), wall(2000))
    assert placed(found, 1) == [(0, 0, 1200, 2415), (1200, 0, 800, 2415)]
    assert [piece.bevel_right_mm for piece in found if piece.wall == 1] == [0, 46.2]
    assert placed(found, 2) == [(138.6, 0, 1200, 2415), (1338.6, 0, 661.4, 2415)]
    assert found[2].bevel_left_mm == 0


def test_an_obtuse_corner_is_mitred_from_both_sides() -> None:
    """135 degrees: 80 × cot 67.5 = 33.1 shorter in front on each side; both backs reach the masonry corner."""
    found = pieces(wall(1000, corner_deg=135), wall(1000))
    assert placed(found, 1) == [(0, 0, 1000, 2415)]
    assert placed(found, 2) == [(0, 0, 1000, 2415)]
    assert (found[0].bevel_right_mm, found[1].bevel_left_mm) == (33.1, 33.1)


def test_at_a_shallow_outer_corner_the_left_hand_insulation_runs_past_by_the_half_angle() -> None:
    """225 degrees: 80 × |cot 112.5| = 80 × 0.41421 = 33.1."""
    found = pieces(wall(1000, corner_deg=225), wall(1000))
    assert placed(found, 1) == [(0, 0, 1033.1, 2415)]
    assert placed(found, 2) == [(0, 0, 1000, 2415)]


def test_beside_an_unlined_wall_it_reaches_the_corner_and_is_splayed_where_that_wall_leans_in() -> None:
    """60 degrees: the front is 80 × cot 60 = 46.2 shorter; at 120 the front is as long as the back."""
    leaning = pieces(wall(1000, corner_deg=60), wall(1000, lined=False))
    away = pieces(wall(1000, corner_deg=120), wall(1000, lined=False))
    assert (placed(leaning), leaning[0].bevel_right_mm) == ([(0, 0, 1000, 2415)], 46.2)
    assert (placed(away), away[0].bevel_right_mm) == ([(0, 0, 1000, 2415)], 0)


def test_it_stops_at_a_stop_end_behind_the_strip_that_closes_it() -> None:
    """External corner beside an unlined wall: the frame and the insulation end 12.5 short of the masonry corner."""
    (strip,) = pieces(wall(1000, corner_deg=270), wall(1000, lined=False))
    assert (strip.x_mm, strip.width_mm, strip.rules) == (0, 987.5, ("F2", "I2", "I3"))


def test_it_stops_where_the_ceiling_ends_the_frame() -> None:
    """2400 to 0 over 3000: 300 are left at 2625. Strips 0-1200, 1200-2400, 2400-2625; 225 wide, at 2400 the height is 480."""
    found = pieces(wall(3000, 2400, 0))
    assert placed(found) == [(0, 0, 1200, 2415), (1200, 0, 1200, 1455), (2400, 0, 225, 495)]
    assert found[-1].rules == ("F3", "I2", "I3")


def test_where_the_neighbour_gets_no_lining_there_is_nothing_to_keep_clear_of() -> None:
    """The recess of 180 between two walls has no room for a frame; the wall to its right starts at its masonry corner."""
    found = pieces(wall(2000), wall(180), wall(2000))
    assert {piece.wall for piece in found} == {1, 3}
    assert placed(found, 3)[0] == (0, 0, 1200, 2415)


def test_walls_in_one_line_are_set_out_over_their_joined_length() -> None:
    """1000 and 2600 at 180: 3600 = 3 × 1200. The strip from 0 belongs to the first wall and passes the joint by 200."""
    found = pieces(wall(1000, corner_deg=180), wall(2600))
    assert placed(found, 1) == [(0, 0, 1200, 2415)]
    assert placed(found, 2) == [(200, 0, 1200, 2415), (1400, 0, 1200, 2415)]
    assert [piece.id for piece in found] == ["1/1/insulation-01", "1/2/insulation-01", "1/2/insulation-02"]


def test_a_joined_wall_behind_the_neighbours_lining_is_covered_with_the_wall_beside_it() -> None:
    """2000 and a last 60 in line, then a lined corner at 90: the frame ends at 2060 - 100, so the 60 carry no layout.

    Insulation from 0 to 2060: 1200 and 860, both with the first wall.
    """
    found = pieces(wall(2000, corner_deg=180), wall(60), wall(2000))
    assert placed(found, 1) == [(0, 0, 1200, 2415), (1200, 0, 860, 2415)]
    assert placed(found, 2) == []


def test_where_two_frames_step_their_insulation_still_meets() -> None:
    """At 180 both end at the corner. At 184, external: 80 × |cot 92| = 2.8 past. At 176 both are 80 × cot 88 = 2.8 shorter in
    front."""
    straight = pieces(wall(1000, corner_deg=180, frame_offset_mm=120), wall(1000))
    outer = pieces(wall(1000, corner_deg=184, frame_offset_mm=120), wall(1000))
    inner = pieces(wall(1000, corner_deg=176, frame_offset_mm=120), wall(1000))
    assert [piece.width_mm for piece in straight] == [1000, 1000]
    assert [piece.width_mm for piece in outer] == [1002.8, 1000]
    assert [(piece.width_mm, piece.bevel_left_mm, piece.bevel_right_mm) for piece in inner] == [(1000, 0, 2.8), (1000, 2.8, 0)]


def test_beside_a_step_to_a_wall_without_lining_the_insulation_ends_at_the_corner() -> None:
    """40 have no room for a stud of 48, so nothing stands beyond the corner of 184 that 2.8 more could reach."""
    assert [piece.width_mm for piece in pieces(wall(1000, corner_deg=184, frame_offset_mm=120), wall(40))] == [1000]


def test_no_thickness_is_no_insulation() -> None:
    assert pieces(wall(4200), p=Parameters(insulation_thickness_mm=0)) == []


def test_thickness_oversize_and_roll_come_from_the_specification() -> None:
    """60 thick at 90: starts 60 in; 2400 + 10 = 2410; roll of 600: 1940 = 3 × 600 + 140."""
    p = Parameters(insulation_thickness_mm=60, insulation_oversize_mm=10)
    found = pieces(wall(2000), wall(2000), p=p, roll=(600, 8000))
    assert placed(found, 2) == [(60, 0, 600, 2410), (660, 0, 600, 2410), (1260, 0, 600, 2410), (1860, 0, 140, 2410)]
    assert math.isclose(sum(piece.area_mm2 for piece in found if piece.wall == 2), 1940 * 2410)
