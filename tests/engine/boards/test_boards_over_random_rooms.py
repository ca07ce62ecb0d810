"""Any room's boards keep the setting-out rules, as the referees beside this file read them."""

from hypothesis import given, settings

from boards import referees as r
from boards.boarded import BoardedCase, boarded_cases
from boards.face_reading import faced_runs

FACE = (
    r.boards_tile_the_face,
    r.boards_are_whole_pieces,
    r.a_board_belongs_to_the_wall_of_its_left_edge,
    r.reveals_cover_each_edge_once,
    r.compound_is_the_outer_layers_area,
    r.pieces_fit_a_sheet,
    r.ids_are_unique,
)
JOINTS = (
    r.joints_stand_on_studs_or_are_reported,
    r.no_joint_is_reported_that_is_sound,
    r.narrow_strips_are_reported,
    r.fragile_legs_are_reported,
    r.joints_are_as_far_apart_as_the_rule_lets_them,
    r.boards_are_held_or_it_is_said,
)
HELD = (
    r.tall_columns_have_no_low_piece,
    r.horizontal_joints_of_layers_keep_apart,
    r.level_joints_have_straps,
    r.screws_follow_the_stud_lines,
    r.tape_covers_every_joint,
)


ROOMS = 200 if settings().max_examples <= 200 else 20_000
"""By default; in the thorough profile."""


def breaches(case: BoardedCase, *referees: r.Referee) -> list[str]:
    """What these referees object to, each with the rule's name as its function says it."""
    frame, boarding = case.answer()
    runs = faced_runs(case, frame, boarding)
    return [f"{referee.__name__}: {line}" for referee in referees for line in referee(case, runs, boarding)]


@settings(max_examples=ROOMS)
@given(boarded_cases())
def test_boards_keep_the_rules_in_any_room(case: BoardedCase) -> None:
    """They tile the face, linings the reveals; joints stand on studs or it is said; all is screwed, strapped and taped."""
    assert breaches(case, *FACE, *JOINTS, *HELD) == [], case
