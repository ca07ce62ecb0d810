"""Twelve months of air outside and inside, January first. The values are the caller's: nothing is built in."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.physics.faults import Checks, PhysicsFault, Refused, refuse
from service.engine.physics.steps import Sheet, Step
from service.engine.physics.vapour import (
    HUMIDITY_CLASS_CLAUSE,
    SAFETY_MARGIN,
    class_excess_pa,
    saturation_pressure_pa,
    vapour_pressure_pa,
)

MONTHS = 12
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
SECONDS_A_DAY = 86_400
LEAST_CLIMATE_C = -50.0
MOST_CLIMATE_C = 50.0


@dataclass(frozen=True, slots=True)
class Air:
    """Air of one month: mean temperature, −50 to 50 °C, and relative humidity, 0 to 100 %."""

    temperature_c: float
    humidity_percent: float

    def __post_init__(self) -> None:
        checks = Checks()
        checks.within("temperature_c", self.temperature_c, LEAST_CLIMATE_C, MOST_CLIMATE_C)
        checks.within("humidity_percent", self.humidity_percent, 0, 100)
        checks.done()

    @property
    def vapour_pressure_pa(self) -> float:
        return vapour_pressure_pa(self.temperature_c, self.humidity_percent)


@dataclass(frozen=True, slots=True)
class Climate:
    """Outside and inside air of twelve months, January first. Refused: another number of months."""

    outside: tuple[Air, ...]
    inside: tuple[Air, ...]

    def __post_init__(self) -> None:
        checks = Checks()
        for name, months in (("outside", self.outside), ("inside", self.inside)):
            if len(months) != MONTHS:
                checks.add((name,), "not_twelve_months", f"a climate has twelve months of air {name}, not {len(months)}")
        checks.done()


def inside_by_class(
    outside: Sequence[Air],
    humidity_class: int,
    inside_temperature_c: float | Sequence[float] = 20.0,
    safety_margin: float = SAFETY_MARGIN,
) -> tuple[Air, ...]:
    """Inside air of each month from a humidity class: vapour pressure outside plus the class's excess times `safety_margin`
    (1 to 2). `inside_temperature_c` is one value or one a month.

    Refused: a class without limit, as many temperatures as there are not months, and a month in which the inside air would hold
    more vapour than it can (warm, damp weather with too cool a room: give the month's real inside temperature)."""
    checks = Checks()
    checks.within("safety_margin", safety_margin, 1, 2)
    checks.done()
    each = [inside_temperature_c] * len(outside) if isinstance(inside_temperature_c, (int, float)) else list(inside_temperature_c)
    if len(each) != len(outside):
        detail = f"give one inside temperature, or one for each of the {len(outside)} months, not {len(each)}"
        raise refuse(("inside_temperature_c",), "not_twelve_months", detail)
    inside, faults = [], []
    for at, (air, temperature) in enumerate(zip(outside, each, strict=True)):
        excess = class_excess_pa(humidity_class, air.temperature_c)
        if not LEAST_CLIMATE_C <= temperature <= MOST_CLIMATE_C:
            detail = f"an inside temperature is from {LEAST_CLIMATE_C:g} to {MOST_CLIMATE_C:g} °C, not {temperature:g}"
            faults.append(PhysicsFault(("inside_temperature_c", at), "out_of_range", detail))
            continue
        humidity = 100 * (air.vapour_pressure_pa + excess * safety_margin) / saturation_pressure_pa(temperature)
        if humidity > 100:
            detail = (
                f"in month {at + 1} inside air of {temperature:g} °C would be over saturation: give a warmer inside temperature"
            )
            faults.append(PhysicsFault(("inside_temperature_c", at), "inside_over_saturation", detail))
        else:
            inside.append(Air(temperature, humidity))
    if faults:
        raise Refused(faults)
    return tuple(inside)


def inside_by_class_steps(outside: Sequence[Air], humidity_class: int, safety_margin: float = SAFETY_MARGIN) -> tuple[Step, ...]:
    """The working of the inside vapour pressures of `inside_by_class`, two steps a month."""
    sheet = Sheet()
    for month, air in enumerate(outside, 1):
        excess = class_excess_pa(humidity_class, air.temperature_c)
        top = class_excess_pa(humidity_class, 0)
        given = {"Δp_class": (top, "Pa"), "θe": (air.temperature_c, "°C")}
        formula = "Δp_class · min(1, max(0, (20 − θe) / 20))"
        sheet.write(f"month {month}, excess of class {humidity_class}", "Δp", formula, given, excess, "Pa", HUMIDITY_CLASS_CLAUSE)
        given = {"pe": (air.vapour_pressure_pa, "Pa"), "Δp": (excess, "Pa"), "margin": (safety_margin, "")}
        pressure = air.vapour_pressure_pa + excess * safety_margin
        about = f"month {month}, inside vapour pressure"
        sheet.write(about, "pi", "pe + Δp · margin", given, pressure, "Pa", "ISO 13788:2001, safety margin on the moisture load")
    return sheet.steps()
