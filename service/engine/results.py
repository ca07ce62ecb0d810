"""What the engine answers: layouts wall by wall, findings, the schedule and the cut lists.

Things are known by ordinals: room 1, wall 1/2, member 1/2/stud-03 (the third stud of the second wall of the first room), which
is both the member's id and its label. Lengths in mm; a member's length is a whole number, rounded down (rule Q0); positions are
not rounded. Quantities carry their own unit.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from service.engine.heat_results import Heat, PlacedCaution
from service.engine.inputs import Item
from service.vocabulary import (
    Component,
    CutDirection,
    CutStatus,
    Direction,
    EndKind,
    FindingCode,
    JunctionKind,
    Objective,
    PieceRole,
    Role,
    Severity,
    UnitCode,
)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    member: Member
    length_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutBar:
    """One bar. `pattern`: bars cut alike share its number. `item`: the stock item it is taken from; or `offcut`: which of the
    offcuts offered it is, counted from 1 in their order, and `item` is that one.
    """

    bar: int
    pattern: int
    item: Item
    offcut: int | None = None
    cuts: tuple[Cut, ...]
    remainder_mm: int
    reusable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BarCutList:
    """One component's bars for one pool (`room` None: the whole project). `lower_bound`, `used` in mm of stock or minor units;
    offcuts count for nothing in them.
    """

    component: Component
    room: int | None
    objective: Objective
    kerf_mm: int
    status: CutStatus
    lower_bound: int | Decimal
    used: int | Decimal
    certificate: Mapping[str, object] | None
    bars: tuple[CutBar, ...]
    unplaced: tuple[Member, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPiece:
    """A flat piece on its sheet or roll: `x_mm` across the width, `y_mm` along the length, from the lower left corner."""

    piece: FlatPiece
    x_mm: float
    y_mm: float
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Remainder:
    """A rectangle that is left; `reusable` where it is worth keeping."""

    x_mm: float
    y_mm: float
    width_mm: float
    length_mm: float
    reusable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightCut:
    """A straight cut on a sheet, from edge to edge of the part it is made in: from (x, y), across or along, so long."""

    x_mm: float
    y_mm: float
    direction: CutDirection
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSheet:
    """One sheet or roll. `pattern`: those cut alike share its number. `item`, `offcut`: as of a bar. `cuts`: in the order in
    which they take it apart."""

    sheet: int
    pattern: int
    item: Item
    offcut: int | None = None
    cuts: tuple[StraightCut, ...]
    pieces: tuple[PlacedPiece, ...]
    remainders: tuple[Remainder, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatCutList:
    """One component's sheets or rolls for one pool (`room` None: the whole project).

    `lower_bound`, `used`: a count, or minor units where price is the objective; offcuts count for nothing. `bound`: over which
    plans the bound holds.
    """

    component: Component
    room: int | None
    rolls: bool
    objective: Objective
    status: CutStatus
    bound: str
    lower_bound: int | Decimal
    used: int | Decimal
    sheets: tuple[CutSheet, ...]
    unplaced: tuple[FlatPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Derivation:
    """Where part of a quantity comes from (rule Q3). `role`: of members and pieces, or what a usage is for.

    `quantity`: in the line's unit. `length_mm`: of each member, where the entry is of members.
    """

    rules: tuple[str, ...]
    role: str
    terms: str
    count: int
    quantity: float
    length_mm: int | None
    room: int
    wall: int
    members: tuple[str, ...]
    layer: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderEntry:
    """`needed` pieces of `item` and `allowance` more, in `packs` of its pack size: `quantity` pieces in all.

    Prices in minor units.
    """

    item: Item
    needed: int
    allowance: int = 0
    packs: int
    quantity: int
    unit_price_minor: int | Decimal | None
    price_minor: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleLine:
    """One component. All quantities in `unit`; net - unsupplied + waste + reusable + allowance + spare = ordered + from offcuts.

    `net_quantity`: all that the layout uses. `unsupplied_quantity`: the part of it that nothing in the range can supply (a
    finding says which). `reusable_quantity`: remainders worth keeping, of new stock and of offcuts. `spare_quantity`: what packs
    add. `from_offcuts_quantity`: the whole size of each offcut that the plan cuts.
    """

    component: Component
    description: str
    unit: UnitCode
    net_quantity: float
    waste_quantity: float
    reusable_quantity: float
    allowance_quantity: float
    spare_quantity: float
    ordered_quantity: float
    from_offcuts_quantity: float = 0.0
    unsupplied_quantity: float
    mass_kg: float | None
    line_price_minor: int | None
    order: tuple[OrderEntry, ...]
    rooms: tuple[tuple[int, float], ...]
    derivation: tuple[Derivation, ...] = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    rooms: int
    lined_area_m2: float
    mass_kg: float
    unweighed: tuple[Component, ...]
    net_price_minor: int | None
    unpriced: tuple[Component, ...]
    floor_area_lost_m2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff:
    layouts: tuple[WallLayout, ...]
    schedule: tuple[ScheduleLine, ...]
    cut_lists: tuple[BarCutList, ...]
    flat_cut_lists: tuple[FlatCutList, ...]
    totals: Totals
    heat: Heat
    cautions: tuple[PlacedCaution, ...]
    findings: tuple[Finding, ...]
