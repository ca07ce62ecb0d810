"""Any room's boards keep the setting-out rules, as the referees beside this file read them."""

from boards import referees as r
from boards.boarded import BoardedCase, boarded_cases
from boards.face_reading import faced_runs
from hypothesis import given

ALONE = (
    r.boards_tile_the_face,
    r.boards_are_whole_pieces,
    r.a_board_belongs_to_the_wall_of_its_left_edge,
    r.joints_stand_on_studs_or_are_reported,
    r.no_joint_is_reported_that_is_sound,
    r.narrow_strips_are_reported,
    r.joints_are_as_far_apart_as_the_rule_lets_them,
    r.tall_columns_have_no_low_piece,
    r.boards_are_held_at_both_edges,
)
WITH_THE_REST = (
    r.level_joints_have_straps,
    r.reveals_cover_each_edge_once,
    r.screws_follow_the_stud_lines,
    r.tape_covers_every_joint,
    r.compound_is_the_outer_layers_area,
)
OF_A_SURVEY = (r.pieces_fit_a_sheet, r.ids_are_unique)


def breaches(case: BoardedCase) -> list[str]:
    """What any referee objects to, each with the rule's name as its function says it."""
    frame, boarding = case.answer()
    found = [f"{referee.__name__}: {line}" for referee in OF_A_SURVEY for line in referee(case, boarding)]
    for faced in faced_runs(case, frame, boarding):
        found += [f"{referee.__name__}: {faced.name}: {line}" for referee in ALONE for line in referee(faced)]
        found += [f"{referee.__name__}: {faced.name}: {line}" for referee in WITH_THE_REST for line in referee(faced, boarding)]
    return found


@given(boarded_cases())
def test_boards_tile_the_face_on_studs_and_are_finished(case: BoardedCase) -> None:
    assert breaches(case) == [], case
