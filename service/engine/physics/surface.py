"""Will the inside surface stay dry enough for mould to keep away: the temperature factor against what each month asks for.

ISO 13788:2012, clause 5, for plane areas. Its clause numbers and the resistance 0.25 are from memory.
"""

from dataclasses import dataclass, replace

from service.engine.physics.air import Surfaces
from service.engine.physics.climate import Climate
from service.engine.physics.construction import Construction
from service.engine.physics.faults import Checks
from service.engine.physics.steps import Sheet, Step
from service.engine.physics.u_value import u_value
from service.engine.physics.vapour import (
    DEW_POINT_CLAUSE,
    SATURATION_CLAUSE,
    dew_point_c,
    dew_point_formula,
    saturation_formula,
    saturation_pressure_pa,
)

SURFACE_CHECK_RSI_M2K_W = 0.25
"""Inside surface resistance for this check on opaque surfaces: behind furniture and in corners air moves less."""
MOULD_SHARE = 0.8
"""Most monthly mean relative humidity at the surface, as a share of 1."""
FACTOR_CLAUSE = "ISO 13788:2012, clause 5, temperature factor"
CRITERION_CLAUSE = "ISO 13788:2012, clause 5, critical surface humidity 0.8"


@dataclass(frozen=True, slots=True)
class SurfaceMonth:
    """`month` 1 is January. `required_factor` is None where it is as warm outside as inside: no cold reaches the surface."""

    month: int
    surface_temperature_c: float
    surface_humidity_percent: float
    least_surface_temperature_c: float
    required_factor: float | None
    humidity_kept: bool


@dataclass(frozen=True, slots=True)
class SurfaceCheck:
    """`required_factor` is the highest of the months, `critical_month` the month that asks for it (None if no month asks).
    `factor_reached` compares with the months; `critical_reached` with the caller's critical value, None without one."""

    temperature_factor: float
    required_factor: float | None
    critical_month: int | None
    factor_reached: bool
    critical_factor: float | None
    critical_reached: bool | None
    months: tuple[SurfaceMonth, ...]


def temperature_factor(u_value_w_m2k: float, rsi_m2k_w: float) -> float:
    """fRsi of a plane element: 1 − U·Rsi, with a U that was worked out with this Rsi."""
    return 1 - u_value_w_m2k * rsi_m2k_w


def factor_from_temperatures(surface_c: float, outside_c: float, inside_c: float) -> float:
    """fRsi = (θsi − θe) / (θi − θe), from what was measured or modelled. Refused where inside and outside are equally warm."""
    checks = Checks()
    if inside_c == outside_c:
        checks.add(("inside_c",), "no_temperature_difference", "the factor needs a difference between inside and outside")
    checks.done()
    return (surface_c - outside_c) / (inside_c - outside_c)


def plane_factor(construction: Construction, rsi_m2k_w: float = SURFACE_CHECK_RSI_M2K_W) -> float:
    """fRsi of the build-up, its inside surface resistance replaced by the one of this check, all corrections counted."""
    return temperature_factor(u_value(_for_check(construction, rsi_m2k_w), always_correct=True).u_value_w_m2k, rsi_m2k_w)


def _for_check(construction: Construction, rsi_m2k_w: float) -> Construction:
    return replace(construction, surfaces=Surfaces(rsi_m2k_w, construction.surfaces.rse_m2k_w))


def surface_check(
    construction: Construction,
    climate: Climate,
    critical_factor: float | None = None,
    rsi_m2k_w: float = SURFACE_CHECK_RSI_M2K_W,
    mould_share: float = MOULD_SHARE,
) -> SurfaceCheck:
    """Month by month: surface temperature and humidity, and the factor that would keep the surface humidity at `mould_share`.

    Refused: a critical factor outside 0 to 1, a mould share outside 0.5 to 1 (1 asks for no condensation only)."""
    checks = Checks()
    if critical_factor is not None:
        checks.within("critical_factor", critical_factor, 0, 1)
    checks.within("mould_share", mould_share, 0.5, 1)
    checks.done()
    factor = plane_factor(construction, rsi_m2k_w)
    months = []
    for month, (inside, outside) in enumerate(zip(climate.inside, climate.outside, strict=True), 1):
        warmth = inside.temperature_c - outside.temperature_c
        surface = outside.temperature_c + factor * warmth
        humidity = 100 * inside.vapour_pressure_pa / saturation_pressure_pa(surface)
        least = dew_point_c(max(inside.vapour_pressure_pa / mould_share, 1e-3))
        required = (least - outside.temperature_c) / warmth if warmth > 0 else None
        months.append(SurfaceMonth(month, surface, humidity, least, required, humidity <= 100 * mould_share))
    asking = [(m.required_factor, m.month) for m in months if m.required_factor is not None]
    required, critical_month = max(asking, key=lambda pair: (pair[0], -pair[1])) if asking else (None, None)
    return SurfaceCheck(
        temperature_factor=factor,
        required_factor=required,
        critical_month=critical_month,
        factor_reached=required is None or factor >= required,
        critical_factor=critical_factor,
        critical_reached=None if critical_factor is None else factor >= critical_factor,
        months=tuple(months),
    )


def surface_check_steps(
    construction: Construction,
    climate: Climate,
    check: SurfaceCheck,
    rsi_m2k_w: float = SURFACE_CHECK_RSI_M2K_W,
    mould_share: float = MOULD_SHARE,
    only_month: int | None = None,
) -> tuple[Step, ...]:
    """The working of `surface_check`: the factor, then five steps a month, or those of `only_month` alone (1 is January)."""
    sheet = Sheet()
    u = u_value(_for_check(construction, rsi_m2k_w), always_correct=True).u_value_w_m2k
    given = {"U": (u, "W/(m²·K)"), "R_si": (rsi_m2k_w, "m²·K/W")}
    about = "temperature factor, with U for this inside surface resistance and all corrections"
    sheet.write(about, "fRsi", "1 − U · R_si", given, check.temperature_factor, "", FACTOR_CLAUSE)
    for month, inside, outside in zip(check.months, climate.inside, climate.outside, strict=True):
        if only_month not in (None, month.month):
            continue
        name = f"month {month.month}"
        air = {"θe": (outside.temperature_c, "°C"), "θi": (inside.temperature_c, "°C")}
        surface, pressure = month.surface_temperature_c, inside.vapour_pressure_pa
        given = {"fRsi": (check.temperature_factor, "")} | air
        sheet.write(f"{name}, surface temperature", "θsi", "θe + fRsi · (θi − θe)", given, surface, "°C", FACTOR_CLAUSE)
        given = {"pi": (pressure, "Pa"), "θsi": (surface, "°C")}
        formula = f"100 · pi / ({saturation_formula(surface, 'θsi')})"
        sheet.write(
            f"{name}, humidity at the surface", "φsi", formula, given, month.surface_humidity_percent, "%", SATURATION_CLAUSE
        )
        needed = max(pressure / mould_share, 1e-3)
        given = {"pi": (pressure, "Pa"), "φcr": (mould_share, ""), "p_least": (1e-3, "Pa")}
        sheet.write(
            f"{name}, saturation pressure needed", "psat", "max(pi / φcr, p_least)", given, needed, "Pa", CRITERION_CLAUSE
        )
        formula, least = dew_point_formula(needed, "psat"), month.least_surface_temperature_c
        sheet.write(
            f"{name}, least surface temperature", "θmin", formula, {"psat": (needed, "Pa")}, least, "°C", DEW_POINT_CLAUSE
        )
        if month.required_factor is not None:
            given = {"θmin": (least, "°C")} | air
            formula = "(θmin − θe) / (θi − θe)"
            sheet.write(f"{name}, factor asked for", "f_min", formula, given, month.required_factor, "", FACTOR_CLAUSE)
    return sheet.steps()
