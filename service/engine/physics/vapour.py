"""Water vapour in air: saturation pressure, dew point, and what an inside air holds by humidity class (ISO 13788:2012).

The formulas and the classes are from memory; the formulas give the pressures that were seen in published period-balance examples.
"""

import math

from service.engine.physics.faults import Checks, refuse

SATURATION_CLAUSE = "ISO 13788:2012, Annex E, E.7 and E.8"
DEW_POINT_CLAUSE = "ISO 13788:2012, Annex E, E.9 and E.10"
HUMIDITY_CLASS_CLAUSE = "ISO 13788:2012, Annex A, Figure A.2"
LEAST_TEMPERATURE_C = -60.0
MOST_TEMPERATURE_C = 80.0
SAFETY_MARGIN = 1.1
"""Factor on the inside moisture load (ISO 13788:2001; seen in a second source)."""
CLASS_EXCESS_PA = {1: 270.0, 2: 540.0, 3: 810.0, 4: 1080.0}
"""Upper end of each humidity class: excess of vapour pressure inside over outside when it is 0 °C or colder outside."""
CLASS_NAMES = {
    1: "storage",
    2: "offices, dwellings with normal occupancy and ventilation",
    3: "buildings with unknown occupancy",
    4: "sports halls, kitchens, canteens",
    5: "laundries, breweries, swimming pools",
}
_AT_ZERO_PA = 610.5
_WATER = (17.269, 237.3)
_ICE = (21.875, 265.5)


def saturation_pressure_pa(temperature_c: float) -> float:
    """Saturation vapour pressure, Pa, over water from 0 °C up and over ice below. Refused outside −60 to 80 °C."""
    checks = Checks()
    checks.within("temperature_c", temperature_c, LEAST_TEMPERATURE_C, MOST_TEMPERATURE_C)
    checks.done()
    a, b = _WATER if temperature_c >= 0 else _ICE
    return _AT_ZERO_PA * math.exp(a * temperature_c / (b + temperature_c))


def dew_point_c(pressure_pa: float) -> float:
    """Temperature at which air of this vapour pressure (above 0) is saturated, °C; the inverse of `saturation_pressure_pa`."""
    checks = Checks()
    checks.positive("pressure_pa", pressure_pa, 1e5)
    checks.done()
    a, b = _WATER if pressure_pa >= _AT_ZERO_PA else _ICE
    log = math.log(pressure_pa / _AT_ZERO_PA)
    return b * log / (a - log)


def vapour_pressure_pa(temperature_c: float, humidity_percent: float) -> float:
    """Vapour pressure, Pa, of air of a relative humidity of 0 to 100 %."""
    checks = Checks()
    checks.within("humidity_percent", humidity_percent, 0, 100)
    checks.done()
    return humidity_percent / 100 * saturation_pressure_pa(temperature_c)


def class_excess_pa(humidity_class: int, outside_temperature_c: float) -> float:
    """Excess of vapour pressure inside over outside for the upper end of a humidity class: constant up to 0 °C outside, falling
    evenly to nothing at 20 °C.

    Refused: class 5, which has no upper end and needs inside values of its own; anything but 1 to 5."""
    if humidity_class == 5:
        detail = "humidity class 5 has no upper end: give twelve inside values instead"
        raise refuse(("humidity_class",), "class_without_limit", detail)
    if humidity_class not in CLASS_EXCESS_PA:
        raise refuse(("humidity_class",), "out_of_range", f"a humidity class is 1 to 5, not {humidity_class}")
    return CLASS_EXCESS_PA[humidity_class] * min(1.0, max(0.0, (20 - outside_temperature_c) / 20))


def saturation_formula(temperature_c: float, symbol: str) -> str:
    """The saturation formula that applies at this temperature, written in `symbol` for a sheet of working."""
    a, b = _WATER if temperature_c >= 0 else _ICE
    return f"{_AT_ZERO_PA} · exp({a} · {symbol} / ({b} + {symbol}))"


def dew_point_formula(pressure_pa: float, symbol: str) -> str:
    """The dew-point formula that applies at this pressure, written in `symbol` for a sheet of working."""
    a, b = _WATER if pressure_pa >= _AT_ZERO_PA else _ICE
    return f"{b} · ln({symbol} / {_AT_ZERO_PA}) / ({a} − ln({symbol} / {_AT_ZERO_PA}))"
