"""What can be found about a survey: every code of a finding, and how grave it is.

A code is written once, here. Answers may gain codes: callers ignore what they do not know.
"""

from enum import StrEnum


class Severity(StrEnum):
    INFO = "info"
    WARNING = "warning"
    ERROR = "error"


class FindingCode(StrEnum):
    LOOP_NOT_CLOSED = "loop_not_closed"
    CORNER_ANGLES_OFF = "corner_angles_off"
    OPENING_OUTSIDE_WALL = "opening_outside_wall"
    OPENINGS_OVERLAP = "openings_overlap"
    OFFSET_OUT_OF_REACH = "offset_out_of_reach"
    NO_ROOM_FOR_FRAME = "no_room_for_frame"
    SINGLE_STUD = "single_stud"
    FRAME_ENDS_LOW = "frame_ends_low"
    FRAME_STEP = "frame_step"
    NIB_END_STUD_ONLY = "nib_end_stud_only"
    NIB_PACKER = "nib_packer"
    OPENING_BEHIND_LINING = "opening_behind_lining"
    PIER_SINGLE_STUD = "pier_single_stud"
    PIER_PACKER = "pier_packer"
    SPLICE_OFF_ROW = "splice_off_row"
    EXTRA_RAIL_ROW = "extra_rail_row"
    SPAN_OVER_LIMIT = "span_over_limit"
    CORNER_STUD_SPAN = "corner_stud_span"
    FRAME_UNHELD = "frame_unheld"
    TRIM_JOINT_UNSUPPORTED = "trim_joint_unsupported"
    NO_STOCK_LONG_ENOUGH = "no_stock_long_enough"
    NOT_IN_RANGE = "not_in_range"
    STOCK_SHORT = "stock_short"
    FLOOR_AREA_LOST = "floor_area_lost"
    BOARD_STRIP_NARROW = "board_strip_narrow"
    JOINT_ON_JAMB_LINE = "joint_on_jamb_line"
    JOINT_OFF_STUD = "joint_off_stud"
    BOARD_UNBACKED = "board_unbacked"
    BOARD_LEG_NARROW = "board_leg_narrow"
    LAYER_JOINTS_CLOSE = "layer_joints_close"
    REVEAL_TOO_NARROW = "reveal_too_narrow"
    JUNCTION_INCOMPLETE = "junction_incomplete"
    FEATURE_OFF_FACE = "feature_off_face"
    FEATURE_MEETS_OPENING = "feature_meets_opening"
    FEATURE_NEAR_EDGE = "feature_near_edge"
    FEATURE_MEETS_STUD = "feature_meets_stud"
    FEATURE_MEETS_FEATURE = "feature_meets_feature"
    FEATURE_UNSUPPORTED = "feature_unsupported"
    FEATURE_TOO_HEAVY = "feature_too_heavy"
    FEATURE_ELECTRICAL = "feature_electrical"
    FEATURE_GAS = "feature_gas"
    THERMAL_TARGET_MISSED = "thermal_target_missed"
    CONDENSATION_RISK = "condensation_risk"
    MOULD_RISK = "mould_risk"
    HEAT_NOT_ASSESSED = "heat_not_assessed"
    WALL_MATERIAL_ASSUMED = "wall_material_assumed"
    BUILD_UP_DIFFERS = "build_up_differs"


FINDING_SEVERITY: dict[FindingCode, Severity] = {
    FindingCode.LOOP_NOT_CLOSED: Severity.ERROR,
    FindingCode.CORNER_ANGLES_OFF: Severity.WARNING,
    FindingCode.OPENING_OUTSIDE_WALL: Severity.ERROR,
    FindingCode.OPENINGS_OVERLAP: Severity.ERROR,
    FindingCode.OFFSET_OUT_OF_REACH: Severity.ERROR,
    FindingCode.NO_ROOM_FOR_FRAME: Severity.ERROR,
    FindingCode.SINGLE_STUD: Severity.INFO,
    FindingCode.FRAME_ENDS_LOW: Severity.WARNING,
    FindingCode.FRAME_STEP: Severity.WARNING,
    FindingCode.NIB_END_STUD_ONLY: Severity.INFO,
    FindingCode.NIB_PACKER: Severity.WARNING,
    FindingCode.OPENING_BEHIND_LINING: Severity.ERROR,
    FindingCode.PIER_SINGLE_STUD: Severity.INFO,
    FindingCode.PIER_PACKER: Severity.WARNING,
    FindingCode.SPLICE_OFF_ROW: Severity.WARNING,
    FindingCode.EXTRA_RAIL_ROW: Severity.WARNING,
    FindingCode.SPAN_OVER_LIMIT: Severity.WARNING,
    FindingCode.CORNER_STUD_SPAN: Severity.INFO,
    FindingCode.FRAME_UNHELD: Severity.WARNING,
    FindingCode.TRIM_JOINT_UNSUPPORTED: Severity.WARNING,
    FindingCode.NO_STOCK_LONG_ENOUGH: Severity.ERROR,
    FindingCode.NOT_IN_RANGE: Severity.WARNING,
    FindingCode.STOCK_SHORT: Severity.WARNING,
    FindingCode.FLOOR_AREA_LOST: Severity.WARNING,
    FindingCode.BOARD_STRIP_NARROW: Severity.WARNING,
    FindingCode.JOINT_ON_JAMB_LINE: Severity.WARNING,
    FindingCode.JOINT_OFF_STUD: Severity.WARNING,
    FindingCode.BOARD_UNBACKED: Severity.WARNING,
    FindingCode.BOARD_LEG_NARROW: Severity.INFO,
    FindingCode.LAYER_JOINTS_CLOSE: Severity.WARNING,
    FindingCode.REVEAL_TOO_NARROW: Severity.WARNING,
    FindingCode.JUNCTION_INCOMPLETE: Severity.WARNING,
    FindingCode.FEATURE_OFF_FACE: Severity.WARNING,
    FindingCode.FEATURE_MEETS_OPENING: Severity.WARNING,
    FindingCode.FEATURE_NEAR_EDGE: Severity.INFO,
    FindingCode.FEATURE_MEETS_STUD: Severity.WARNING,
    FindingCode.FEATURE_MEETS_FEATURE: Severity.WARNING,
    FindingCode.FEATURE_UNSUPPORTED: Severity.WARNING,
    FindingCode.FEATURE_TOO_HEAVY: Severity.WARNING,
    FindingCode.FEATURE_ELECTRICAL: Severity.INFO,
    FindingCode.FEATURE_GAS: Severity.INFO,
    FindingCode.THERMAL_TARGET_MISSED: Severity.WARNING,
    FindingCode.CONDENSATION_RISK: Severity.WARNING,
    FindingCode.MOULD_RISK: Severity.WARNING,
    FindingCode.HEAT_NOT_ASSESSED: Severity.WARNING,
    FindingCode.WALL_MATERIAL_ASSUMED: Severity.INFO,
    FindingCode.BUILD_UP_DIFFERS: Severity.WARNING,
}
