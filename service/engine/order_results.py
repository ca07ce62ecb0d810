"""What is cut and ordered: cut lists of bars and sheets, the schedule with where each quantity comes from, and the whole takeoff.

Lengths in mm, positions on a sheet from its lower left corner; quantities carry their own unit.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from service.engine.heat_results import Heat, PlacedCaution
from service.engine.inputs import Item
from service.engine.results import Finding, FlatPiece, Member, WallLayout
from service.vocabulary import Component, CutDirection, CutStatus, Objective, UnitCode


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
