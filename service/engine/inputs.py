"""What the engine is given: a survey, parameters, the items that can be bought, options.

No ids, names or references: rooms, walls and openings are known by their place in the survey. Lengths in mm, angles in degrees,
prices in minor units of one currency. `x` runs to the right from a wall's left-hand masonry corner, `y` up from the room's
level line.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from service.engine.heat_inputs import NOTHING_ASKED, HeatInputs
from service.engine.parameters import Parameters
from service.vocabulary import ROLE_COMPONENTS, Component, Construction, Currency, FeatureKind, OpeningKind, Pool, Role, Substrate

REACHES_MM = 50.0
"""An opening's edge within this of floor or ceiling counts as reaching it (setting-out decision)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    kind: OpeningKind
    offset_mm: float
    width_mm: float
    sill_mm: float
    height_mm: float
    reveal_depth_mm: float = 0.0
    board_sill: bool = False
    frame_margin_mm: float | None = None

    @property
    def left_mm(self) -> float:
        return self.offset_mm

    @property
    def right_mm(self) -> float:
        return self.offset_mm + self.width_mm

    @property
    def head_mm(self) -> float:
        return self.sill_mm + self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    kind: FeatureKind
    x_mm: float
    y_mm: float
    width_mm: float | None = None
    height_mm: float | None = None
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    length_mm: float
    height_left_mm: float
    height_right_mm: float
    floor_left_mm: float = 0.0
    floor_right_mm: float = 0.0
    lined: bool = True
    corner_deg: float = 90.0
    substrate: Substrate = Substrate.SOLID_BRICK
    thickness_mm: float = 225.0
    proud_mm: float = 0.0
    frame_offset_mm: float | None = None
    openings: tuple[Opening, ...] = ()
    features: tuple[Feature, ...] = ()

    def floor_at(self, x: float) -> float:
        return self.floor_left_mm + (self.floor_right_mm - self.floor_left_mm) * x / self.length_mm

    def height_at(self, x: float) -> float:
        """H(x): floor to ceiling."""
        return self.height_left_mm + (self.height_right_mm - self.height_left_mm) * x / self.length_mm

    def ceiling_at(self, x: float) -> float:
        return self.floor_at(x) + self.height_at(x)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """`walls` in the order met going left to right while facing them; `closed`: the last joins the first."""

    walls: tuple[Wall, ...]
    closed: bool = False
    floor: Construction = Construction.TIMBER
    ceiling: Construction = Construction.TIMBER


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that can be bought. `length_mm` of a bar is its stock length, of a sheet or roll its length.

    `yield_per_piece`: what one piece covers, in the schedule's unit, where it is not counted (sealant: metres a tube).
    `on_hand`: pieces in stock, None when not known. `price_minor`: one piece, in minor units; a screw may cost a fraction of one.
    """

    component: Component
    sku: str | None = None
    description: str | None = None
    length_mm: int | None = None
    width_mm: int | None = None
    thickness_mm: float | None = None
    pack_size: int = 1
    price_minor: int | Decimal | None = None
    mass_kg: float | None = None
    on_hand: int | None = None
    yield_per_piece: float | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """The largest that flat pieces can be cut from: of the widest sheets or rolls the longest."""

    width_mm: int
    length_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    pool: Pool = Pool.PROJECT
    kerf_mm: int = 0
    allowances: Mapping[Component, float] = field(default_factory=dict)  # percent of the net quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeoffInput:
    """All that an answer depends on. Equal inputs give equal answers, byte for byte."""

    rooms: tuple[Room, ...]
    parameters: Parameters = field(default_factory=Parameters)
    components: Mapping[Role, Component] = field(default_factory=lambda: dict(ROLE_COMPONENTS))
    items: tuple[Item, ...]
    offcuts: tuple[Item, ...] = ()  # one piece of each, paid for already; of an item only component, sku and sizes
    currency: Currency | None = None
    options: Options = field(default_factory=Options)
    heat: HeatInputs = NOTHING_ASKED
