"""Heat loss per kelvin of areas, before and after."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.physics.faults import Checks
from service.engine.physics.steps import Sheet, Step

HEAT_LOSS_CLAUSE = "ISO 13789:2017, transmission through plane elements, Σ U·A"


@dataclass(frozen=True, slots=True)
class Area:
    """A plane area without its openings, m², and its transmittance before and after the work, W/(m²·K)."""

    name: str
    area_m2: float
    u_before_w_m2k: float
    u_after_w_m2k: float

    def __post_init__(self) -> None:
        checks = Checks()
        checks.within("area_m2", self.area_m2, 0, 1e7)
        checks.within("u_before_w_m2k", self.u_before_w_m2k, 0, 100)
        checks.within("u_after_w_m2k", self.u_after_w_m2k, 0, 100)
        checks.done()


@dataclass(frozen=True, slots=True)
class HeatLoss:
    """W/K. Thermal bridges at edges and openings are not in it."""

    before_w_k: float
    after_w_k: float

    @property
    def saved_w_k(self) -> float:
        return self.before_w_k - self.after_w_k


def heat_loss(areas: Sequence[Area]) -> HeatLoss:
    """Σ U·A of the areas, before and after; the order of the areas makes no difference."""
    before = math.fsum(area.area_m2 * area.u_before_w_m2k for area in areas)
    return HeatLoss(before, math.fsum(area.area_m2 * area.u_after_w_m2k for area in areas))


def heat_loss_steps(areas: Sequence[Area]) -> tuple[Step, ...]:
    """The working of `heat_loss`: two steps an area, then two sums."""
    sheet = Sheet()
    sums: dict[str, dict[str, tuple[float, str]]] = {"before": {}, "after": {}}
    for n, area in enumerate(areas, 1):
        for when, u in (("before", area.u_before_w_m2k), ("after", area.u_after_w_m2k)):
            given = {f"A_{n}": (area.area_m2, "m²"), f"U_{n}": (u, "W/(m²·K)")}
            value = area.area_m2 * u
            sheet.write(f"{area.name}, {when}", f"H_{n}", f"U_{n} · A_{n}", given, value, "W/K", HEAT_LOSS_CLAUSE)
            sums[when][f"H_{n}"] = (value, "W/K")
    total = heat_loss(areas)
    for when, value in (("before", total.before_w_k), ("after", total.after_w_k)):
        sheet.write(f"all areas, {when}", "H", " + ".join(sums[when]) or "0", sums[when], value, "W/K", HEAT_LOSS_CLAUSE)
    return sheet.steps()
