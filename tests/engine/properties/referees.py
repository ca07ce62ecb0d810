"""All referees of a frame in two groups: those that look at one run of joined walls, and those that look at the whole survey."""

from rooms.surveys import Case

from properties import channels, fixings, rails, studs
from properties.reading import runs_of
from service.engine.framing.frame import frame_survey
from service.engine.results import Framing
from service.vocabulary import ROLE_COMPONENTS, Component

STUDS = (
    studs.studs_stay_out_of_openings,
    studs.studs_do_not_overlap,
    studs.studs_stand_within_the_frame,
    studs.stud_lines_are_near_enough,
    studs.ends_carry_a_stud,
    studs.jambs_stand_flush,
    studs.studs_keep_to_the_grid,
    studs.lengths_follow_the_heights,
    studs.ends_are_cut_to_the_slope,
    studs.no_short_stud_is_too_short,
    studs.long_studs_are_spliced,
    studs.splices_are_staggered,
)
RAILS = (
    rails.rails_lie_on_the_masonry_and_clear_of_openings,
    rails.rails_do_not_overlap,
    rails.every_rail_serves_a_stud,
    rails.brackets_lie_on_their_rail_and_stud,
    rails.brackets_reach_from_rail_to_stud,
    rails.spans_keep_the_limit_or_say_so,
    rails.no_span_is_reported_that_holds,
    rails.rows_stand_where_the_height_says,
    rails.rows_hold_every_stud_they_cross,
    rails.every_crossing_has_its_bracket,
    rails.short_studs_have_their_own_rail,
    rails.corner_profiles_are_held_at_every_row,
)
CHANNELS = (
    channels.channels_tile_the_frame_line,
    channels.channels_lie_on_floor_and_ceiling,
    channels.trims_close_every_head_and_sill,
    channels.trims_are_joined_on_a_short_stud,
    channels.stop_ends_have_their_channel,
    channels.runs_are_split_as_seldom_as_can_be,
)
CORNERS = (
    studs.frames_end_where_the_corner_says,
    studs.every_lined_wall_is_laid_out_or_says_why,
    studs.external_corners_are_held,
    channels.corner_profiles_stand_once_at_each_corner,
)
MEMBERS = (
    channels.members_are_well_named,
    channels.nothing_is_longer_than_stock,
    fixings.runs_are_fixed_at_their_spacing,
    fixings.frame_screws_hold_every_trim,
)
OF_A_RUN = (*STUDS, *RAILS, *CHANNELS)
OF_A_SURVEY = (*CORNERS, *MEMBERS)


def framed(case: Case) -> Framing:
    stock = {Component.C_STUD: case.stud_stock_mm, Component.U_CHANNEL: case.channel_stock_mm}
    return frame_survey(case.rooms, case.parameters, ROLE_COMPONENTS, stock)


def breaches(case: Case, framing: Framing, *referees: object) -> list[str]:
    """What these referees object to, each with the rule's name as its function says it."""
    runs = runs_of(case, framing)
    found = []
    for referee in referees:
        subjects = [(case, framing)] if referee in OF_A_SURVEY else [(run,) for run in runs]
        found += [f"{referee.__name__}: {breach}" for subject in subjects for breach in referee(*subject)]  # type: ignore[attr-defined,operator]
    return found
