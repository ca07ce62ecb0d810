"""What is set out: layouts wall by wall, and findings. What is cut and ordered of it is in `order_results`.

Things are known by ordinals: room 1, wall 1/2, member 1/2/stud-03 (the third stud of the second wall of the first room), which
is both the member's id and its label. Lengths in mm; a member's length is a whole number, rounded down (rule Q0); positions are
not rounded. Quantities carry their own unit.
"""

from dataclasses import dataclass

from service.finding_codes import FindingCode, Severity
from service.vocabulary import Component, Direction, EndKind, JunctionKind, PieceRole, Role, UnitCode


@dataclass(frozen=True, slots=True)
class Finding:
    """What a person should know about this survey. Ordinals from 1; `opening` counts along its wall's list.

    `room` is None where it is about the whole survey, as stock on hand is.
    """

    code: FindingCode
    severity: Severity
    message: str
    room: int | None
    wall: int | None = None
    opening: int | None = None
    component: Component | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A bar as it is cut. `x_mm` of an upright is its centre line, of a horizontal its left end; `y_mm` its lower end or edge.

    `splay_start_deg`, `splay_end_deg`: how far the cut leans from square at the lower or left end and at the upper or right one.
    `y_end_mm`: height of the right-hand end of a sloping member. `fold_marks_mm`: from the left end of the bar.
    `rules`: the setting-out rules that put it there and gave its length.
    """

    id: str
    role: Role
    component: Component
    room: int
    wall: int
    x_mm: float
    y_mm: float
    length_mm: int
    direction: Direction
    rules: tuple[str, ...]
    splay_start_deg: float = 0.0
    splay_end_deg: float = 0.0
    y_end_mm: float | None = None
    fold_marks_mm: tuple[int, ...] = ()
    joined_to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bracket:
    """Holds `member_id` off the wall at rail `rail_id`; `projection_mm` from the rail's face to the back of the stud."""

    id: str
    x_mm: float
    y_mm: float
    member_id: str
    rail_id: str
    projection_mm: float
    rules: tuple[str, ...] = ("R4",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixings:
    """`count` fixings of one kind; `terms` is the arithmetic in words a person can follow; `members` what they fix."""

    component: Component
    role: Role
    room: int
    wall: int
    count: int
    terms: str
    members: tuple[str, ...]
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """A hole or notch of a flat piece: origin from the piece's lower left corner. `rules` say why it is there.

    `feature`: what it is made for, ordinals of its wall and in that wall's list; None for an opening. `diameter_mm`: of a round
    hole, which is stated as its square.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    rules: tuple[str, ...]
    feature: tuple[int, int] | None = None
    diameter_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPiece:
    """A piece of board, laminate, insulation or membrane as it is cut, and where it goes on its wall.

    `x_mm`, `y_mm`: its lower left corner on the wall (of a reveal piece: the lower or left end of the opening edge it lines).
    `width_mm` along the wall, `length_mm` upwards, as the rectangle it is cut from, both to 0.1 (Q0); a reveal piece is as wide
    as the reveal is deep and as long as its edge. `area_mm2`: of the piece itself, less cut-outs and rakes. `height_left_mm`,
    `height_right_mm`: its upright edges where the top is raked, `foot_left_mm`, `foot_right_mm`: how far above `y_mm` they
    begin. `outline_mm`: the corners of a piece whose top or foot bends, from its lower left corner. `bevel_left_mm`,
    `bevel_right_mm`: how much shorter the front is than the back. `layer` counts from the frame.
    """

    id: str
    component: Component
    role: PieceRole
    room: int
    wall: int
    x_mm: float
    y_mm: float
    width_mm: float
    length_mm: float
    rules: tuple[str, ...]
    height_left_mm: float
    height_right_mm: float
    foot_left_mm: float = 0.0
    foot_right_mm: float = 0.0
    layer: int = 1
    bevel_left_mm: float = 0.0
    bevel_right_mm: float = 0.0
    cut_outs: tuple[CutOut, ...] = ()
    area_mm2: float
    outline_mm: tuple[tuple[float, float], ...] = ()
    opening: int | None = None

    @property
    def net_mm2(self) -> int:
        """What it uses of its material, in whole mm²: never more than the rectangle that it is cut from."""
        return int(min(self.area_mm2, self.width_mm * self.length_mm) + 1e-4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Usage:
    """How much of a component something takes: tape, sealant, beads, compound, adhesive, screws. `quantity` in `unit`.

    `where`: what it is for, a short phrase of the trade; `terms`: the arithmetic in words a person can follow; `members`: the
    pieces that it serves. `layer`: of boards, where screws of a further layer are longer.
    """

    component: Component
    where: str
    room: int
    wall: int
    quantity: float
    unit: UnitCode
    terms: str
    members: tuple[str, ...]
    rules: tuple[str, ...]
    layer: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Junction:
    """Where the lining meets something (X3): what fixes it, what seals it, what trims it. None: nothing is named there."""

    kind: JunctionKind
    room: int
    wall: int
    fixing: str | None
    seal: str | None
    trim: str | None
    opening: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameLine:
    """Where the frame's front stands on this wall.

    x0, x1: ends of the boarded face at the frame line (F1). channel_x0, channel_x1: ends of channels and end studs.
    finished_x0, finished_x1: ends of the finished face, where it meets the neighbour's. `offset_mm`: d, the line to snap on the
    floor; `finished_face_mm`: d + t. `left`, `right`: how each end is formed. `right_runs_through`: this wall's boards run
    through at its right-hand corner.
    """

    x0_mm: float
    x1_mm: float
    channel_x0_mm: float
    channel_x1_mm: float
    finished_x0_mm: float
    finished_x1_mm: float
    offset_mm: float
    finished_face_mm: float
    left: EndKind
    right: EndKind
    right_runs_through: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WallLayout:
    room: int
    wall: int
    frame: FrameLine
    members: tuple[Member, ...]
    brackets: tuple[Bracket, ...]
    fixings: tuple[Fixings, ...]
    boards: tuple[FlatPiece, ...] = ()
    reveals: tuple[FlatPiece, ...] = ()
    insulation: tuple[FlatPiece, ...] = ()
    membrane: tuple[FlatPiece, ...] = ()
    usages: tuple[Usage, ...] = ()
    junctions: tuple[Junction, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Framing:
    """The frame of a whole survey: one layout for each lined wall that has one, in survey order, and what was found."""

    layouts: tuple[WallLayout, ...]
    findings: tuple[Finding, ...]
