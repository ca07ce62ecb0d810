"""What the engine answers on heat and moisture: walls, rooms, the whole, and what to think of before the work.

W/K for heat losses, m² for areas; nothing is rounded.
"""

from dataclasses import dataclass

from service.engine.physics.assessment import Assessment
from service.engine.physics.cautions import Caution
from service.engine.physics.limits import Limit
from service.engine.physics.steps import Step


@dataclass(frozen=True, slots=True, kw_only=True)
class WallHeat:
    """A wall that is to be lined. `area_m2`: its masonry face without openings. `carries_lining`: False where none could be set
    out, so that it stays as it is. `assumed`: what was taken of a wall whose material is not known well. `assessment` None: it
    could not be assessed, and `reason` says why.
    """

    room: int
    wall: int
    area_m2: float
    opening_area_m2: float
    carries_lining: bool
    brackets: int
    brackets_per_m2: float
    assumed: str | None
    fibre: bool
    assessment: Assessment | None
    reason: str | None

    @property
    def heat_loss_before_w_k(self) -> float | None:
        """None where it was not assessed, or where nothing stood there before."""
        if self.assessment is None or self.assessment.u_before is None:
            return None
        return self.assessment.u_before.u_value_w_m2k * self.area_m2

    @property
    def heat_loss_w_k(self) -> float | None:
        return None if self.assessment is None else self.assessment.u_after.u_value_w_m2k * self.area_m2


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomHeat:
    """Through the lined walls of one room, or (room None) of all. Heat losses are None where a wall's is not known."""

    room: int | None
    area_m2: float
    opening_area_m2: float
    heat_loss_before_w_k: float | None
    heat_loss_w_k: float | None
    floor_area_m2: float | None
    floor_area_lost_m2: float
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """`walls`, `rooms` in survey order; `described`: the build-up was made from the lining's parameters. `steps`: the inside air
    of a humidity class."""

    walls: tuple[WallHeat, ...]
    rooms: tuple[RoomHeat, ...]
    total: RoomHeat
    described: bool
    steps: tuple[Step, ...]
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedCaution:
    """A caution and the walls that call for it, by room and wall ordinals."""

    caution: Caution
    walls: tuple[tuple[int, int], ...]
