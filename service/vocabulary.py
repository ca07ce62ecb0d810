"""Every closed list of words that stands in JSON, in a table and in the engine.

A word is written once, here. Answers may gain words (callers ignore what they do not know); requests accept only these.
"""

from enum import StrEnum


class OpeningKind(StrEnum):
    WINDOW = "window"
    DOOR = "door"
    OPENING = "opening"
    HEARTH = "hearth"


class Substrate(StrEnum):
    SOLID_BRICK = "solid_brick"
    CAVITY_BRICK = "cavity_brick"
    STONE = "stone"
    CONCRETE_BLOCK = "concrete_block"
    DENSE_CONCRETE = "dense_concrete"
    TIMBER_FRAME = "timber_frame"
    OTHER = "other"


class Construction(StrEnum):
    """What a floor or a ceiling is made of: it decides the fixing of a channel."""

    TIMBER = "timber"
    CONCRETE = "concrete"


class FeatureKind(StrEnum):
    SOCKET = "socket"
    SWITCH = "switch"
    PIPE = "pipe"
    RADIATOR = "radiator"
    HEAVY_ITEM = "heavy_item"
    VENT = "vent"


HUNG = frozenset({FeatureKind.RADIATOR, FeatureKind.HEAVY_ITEM})
"""Hang on the lining; all others pass through it."""


class Component(StrEnum):
    """A kind of thing that is bought; the lines of a schedule."""

    C_STUD = "c_stud"
    U_CHANNEL = "u_channel"
    BRACKET = "bracket"
    BRACKET_CLIP = "bracket_clip"
    INSULATION_ROLL = "insulation_roll"
    VCL_MEMBRANE = "vcl_membrane"
    LAP_TAPE = "lap_tape"
    DOUBLE_SIDED_TAPE = "double_sided_tape"
    SEALANT = "sealant"
    PLASTERBOARD = "plasterboard"
    INSULATED_LAMINATE = "insulated_laminate"
    BOARD_ADHESIVE = "board_adhesive"
    BOARD_SCREW = "board_screw"
    FRAME_SCREW = "frame_screw"
    TIMBER_FIXING = "timber_fixing"
    MASONRY_FIXING = "masonry_fixing"
    JOINT_TAPE = "joint_tape"
    JOINT_COMPOUND = "joint_compound"
    CORNER_BEAD = "corner_bead"
    STOP_BEAD = "stop_bead"


COMPONENT_NAMES: dict[Component, str] = {
    Component.C_STUD: "C-section stud",
    Component.U_CHANNEL: "U-section channel",
    Component.BRACKET: "Wall bracket",
    Component.BRACKET_CLIP: "Bracket clip",
    Component.INSULATION_ROLL: "Insulation roll",
    Component.VCL_MEMBRANE: "Vapour control membrane",
    Component.LAP_TAPE: "Lap tape",
    Component.DOUBLE_SIDED_TAPE: "Double-sided tape",
    Component.SEALANT: "Sealant",
    Component.PLASTERBOARD: "Plasterboard",
    Component.INSULATED_LAMINATE: "Insulated laminate",
    Component.BOARD_ADHESIVE: "Board adhesive",
    Component.BOARD_SCREW: "Board screw",
    Component.FRAME_SCREW: "Frame screw",
    Component.TIMBER_FIXING: "Fixing into timber",
    Component.MASONRY_FIXING: "Fixing into masonry",
    Component.JOINT_TAPE: "Joint tape",
    Component.JOINT_COMPOUND: "Joint compound",
    Component.CORNER_BEAD: "Corner bead",
    Component.STOP_BEAD: "Stop bead",
}
"""What each component is called on a schedule that a person reads."""

ROLL_COMPONENTS = frozenset({Component.INSULATION_ROLL, Component.VCL_MEMBRANE})
SHEET_COMPONENTS = frozenset({Component.PLASTERBOARD, Component.INSULATED_LAMINATE})


class Role(StrEnum):
    """What a member does in the wall; it names the member and, through the specification, the component it is cut from."""

    STUD = "stud"
    END_STUD = "end_stud"
    JAMB_STUD = "jamb_stud"
    EXTRA_STUD = "extra_stud"
    SHORT_STUD = "short_stud"
    RAIL = "rail"
    OPENING_RAIL = "opening_rail"
    SUPPORT_RAIL = "support_rail"
    FLOOR_CHANNEL = "floor_channel"
    CEILING_CHANNEL = "ceiling_channel"
    CORNER_PROFILE = "corner_profile"
    STOP_END_CHANNEL = "stop_end_channel"
    HEAD_TRIM = "head_trim"
    SILL_TRIM = "sill_trim"
    JOINT_STRAP = "joint_strap"


STUD_ROLES = frozenset({Role.STUD, Role.END_STUD, Role.JAMB_STUD, Role.EXTRA_STUD, Role.SHORT_STUD})
RAIL_ROLES = frozenset({Role.RAIL, Role.OPENING_RAIL, Role.SUPPORT_RAIL})

ROLE_COMPONENTS: dict[Role, Component] = {
    role: Component.C_STUD if role in STUD_ROLES | RAIL_ROLES else Component.U_CHANNEL for role in Role
}
"""What each role is cut from unless a specification says otherwise."""


class PieceRole(StrEnum):
    """What a flat piece does: it names the piece."""

    BOARD = "board"
    STOP_END_STRIP = "stop_end_strip"
    REVEAL_HEAD = "reveal_head"
    REVEAL_JAMB = "reveal_jamb"
    REVEAL_SILL = "reveal_sill"
    INSULATION = "insulation"
    MEMBRANE_DROP = "membrane_drop"
    MEMBRANE_STRIP = "membrane_strip"


class JunctionKind(StrEnum):
    """Where a lining meets something else; each names its fixing, its seal and its trim."""

    FLOOR = "floor"
    CEILING = "ceiling"
    INTERNAL_CORNER = "internal_corner"
    EXTERNAL_CORNER = "external_corner"
    UNLINED_WALL = "unlined_wall"
    STOP_END = "stop_end"
    JAMB = "jamb"
    HEAD = "head"
    SILL = "sill"


class Direction(StrEnum):
    UP = "up"
    ALONG = "along"


class EndKind(StrEnum):
    """How a frame ends at one side of a wall."""

    INTERNAL_CORNER = "internal_corner"
    EXTERNAL_CORNER = "external_corner"
    UNLINED_WALL = "unlined_wall"
    STOP_END = "stop_end"
    LOW_CEILING = "low_ceiling"
    STEP = "step"
    JOINED = "joined"


class Pool(StrEnum):
    """Whose pieces may share a bar."""

    ROOM = "room"
    PROJECT = "project"


class Objective(StrEnum):
    LENGTH = "length"
    COUNT = "count"
    PRICE = "price"


class CutDirection(StrEnum):
    """Of a straight cut on a sheet or roll."""

    ACROSS = "across"
    ALONG = "along"


class CutStatus(StrEnum):
    """How good a cutting plan is known to be."""

    OPTIMAL = "optimal"
    BOUNDED = "bounded"
    HEURISTIC = "heuristic"


class TakeoffStatus(StrEnum):
    SUCCEEDED = "succeeded"


class TakeoffPart(StrEnum):
    """The parts of a takeoff that `include` may embed."""

    SCHEDULE = "schedule"
    CUT_LISTS = "cut_lists"
    LAYOUTS = "layouts"
    THERMAL = "thermal"
    CAUTIONS = "cautions"


class ComparedGroup(StrEnum):
    """What a setting that differs between two takeoffs is one of."""

    PARAMETERS = "parameters"
    COMPONENTS = "components"
    OPTIONS = "options"
    ALLOWANCES = "allowances"


class Format(StrEnum):
    """A form in which a wall's layout can be had."""

    JSON = "json"
    SVG = "svg"


class KeyScope(StrEnum):
    READ = "read"
    WRITE = "write"
    TAKEOFF = "takeoff"
    ADMIN = "admin"


class Currency(StrEnum):
    GBP = "GBP"
    EUR = "EUR"
    USD = "USD"
    CHF = "CHF"


class UnitCode(StrEnum):
    """UN/ECE Recommendation 20 codes of the units that a schedule counts in."""

    METRE = "MTR"
    SQUARE_METRE = "MTK"
    PIECE = "C62"
    KILOGRAM = "KGM"
    LITRE = "LTR"


COMPONENT_UNITS: dict[Component, UnitCode] = {
    **dict.fromkeys(Component, UnitCode.PIECE),
    **dict.fromkeys((Component.C_STUD, Component.U_CHANNEL), UnitCode.METRE),
    **dict.fromkeys((Component.LAP_TAPE, Component.DOUBLE_SIDED_TAPE, Component.JOINT_TAPE), UnitCode.METRE),
    **dict.fromkeys((Component.SEALANT, Component.CORNER_BEAD, Component.STOP_BEAD), UnitCode.METRE),
    **dict.fromkeys(ROLL_COMPONENTS | SHEET_COMPONENTS, UnitCode.SQUARE_METRE),
    **dict.fromkeys((Component.BOARD_ADHESIVE, Component.JOINT_COMPOUND), UnitCode.SQUARE_METRE),
}
"""What a schedule counts each component in: tapes, beads and sealant by what they run along, compound by what it covers."""

UNIT_NAMES: dict[UnitCode, str] = {
    UnitCode.METRE: "m",
    UnitCode.SQUARE_METRE: "m²",
    UnitCode.PIECE: "pcs",
    UnitCode.KILOGRAM: "kg",
    UnitCode.LITRE: "l",
}


class ResourceKind(StrEnum):
    """Everything that is stored under an id of its own."""

    ACCOUNT = "account"
    KEY = "key"
    SPECIFICATION = "specification"
    CATALOGUE = "catalogue"
    CATALOGUE_ITEM = "catalogue_item"
    PROJECT = "project"
    ROOM = "room"
    WALL = "wall"
    OPENING = "opening"
    FEATURE = "feature"
    TAKEOFF = "takeoff"
    OFFCUT = "offcut"
    MATERIAL = "material"


class OffcutState(StrEnum):
    """Whether an offcut can be drawn on: reserved, it is held by the takeoff that was confirmed with it."""

    AVAILABLE = "available"
    RESERVED = "reserved"


class ChangeType(StrEnum):
    """What a project's list of changes tells of, and what a mutation may change: the kinds that a survey is made of."""

    PROJECT = "project"
    ROOM = "room"
    WALL = "wall"
    OPENING = "opening"
    FEATURE = "feature"


class MutationOp(StrEnum):
    PUT = "put"
    PATCH = "patch"
    DELETE = "delete"


class MutationStatus(StrEnum):
    """What became of a mutation. `not_applied`: it could have been, but the whole request was refused."""

    APPLIED = "applied"
    DUPLICATE = "duplicate"
    CONFLICT = "conflict"
    REFUSED = "refused"
    NOT_APPLIED = "not_applied"


class HeatFlow(StrEnum):
    """Which way heat flows through an element; it decides surface and air-layer resistances."""

    HORIZONTAL = "horizontal"
    UP = "up"
    DOWN = "down"


class Certainty(StrEnum):
    """How a figure from outside was checked against its source."""

    READ = "read"
    READ_SECONDARY = "read_secondary"
    FROM_MEMORY = "from_memory"
    CALCULATED = "calculated"
    COMMON_PRACTICE = "common_practice"


CERTAINTY_NAMES: dict[Certainty, str] = {
    Certainty.READ: "seen in the named source",
    Certainty.READ_SECONDARY: "seen in a second source that quotes the first",
    Certainty.FROM_MEMORY: "from memory, the source was not opened: check it before relying on it",
    Certainty.CALCULATED: "worked out from the stated inputs",
    Certainty.COMMON_PRACTICE: "common practice, no published source",
}
