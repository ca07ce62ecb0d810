"""The working of a condensation year: for each month and each wet plane its temperature, its saturation and what it gathers."""

from service.engine.physics.climate import Climate
from service.engine.physics.construction import Construction
from service.engine.physics.interstitial import GRAMS, CondensationMonth, CondensationYear
from service.engine.physics.planes import STRIP_CLAUSE
from service.engine.physics.steps import Sheet, Step
from service.engine.physics.vapour import SATURATION_CLAUSE, saturation_formula
from service.engine.physics.vapour_profile import AIR_PERMEABILITY, FLOW_CLAUSE

_TEMPERATURE_CLAUSE = "ISO 13788:2012, 6.3, temperature in proportion to resistance"


def condensation_steps(construction: Construction, climate: Climate, year: CondensationYear) -> tuple[Step, ...]:
    """The working of `year`, in the order of its months. Where nothing condenses: of the plane and month closest to it."""
    sheet = Sheet()
    for at, layer in enumerate(construction.layers, 1):
        given = {f"μ_{at}": (layer.mu, ""), f"d_{at}": (layer.thickness_mm / 1000, "m")} if layer.mu is not None else None
        formula = f"μ_{at} · d_{at}" if given else f"sd_{at}"
        about = f"diffusion-equivalent thickness of layer {at}, {layer.name}"
        sheet.write(
            about, f"sd_{at}", formula, given or {f"sd_{at}": (layer.vapour_sd_m, "m")}, layer.vapour_sd_m, "m", STRIP_CLAUSE
        )
    if not year.condenses:
        _closest(sheet, construction, climate, year)
        return sheet.steps()
    for month in year.months:
        for plane in year.wet_planes:
            if month.held_g_m2[plane] > 0 or month.change_g_m2[plane] != 0:
                _saturation(sheet, construction, climate, year, month, plane)
                _amounts(sheet, year, month, plane)
    return sheet.steps()


def _name(year: CondensationYear, month: CondensationMonth, plane: int) -> str:
    """Planes carry their number too: two may lie between layers of the same names."""
    return f"month {month.month}, plane {plane}, {year.nodes[plane].name}"


def _saturation(
    sheet: Sheet, construction: Construction, climate: Climate, year: CondensationYear, month: CondensationMonth, plane: int
) -> None:
    name = _name(year, month, plane)
    total = year.nodes[-1].resistance_m2k_w + construction.surfaces.rse_m2k_w
    temperature = month.temperatures_c[plane]
    given = {
        "θi": (climate.inside[month.month - 1].temperature_c, "°C"),
        "θe": (climate.outside[month.month - 1].temperature_c, "°C"),
        "R_c": (year.nodes[plane].resistance_m2k_w, "m²·K/W"),
        "R_T": (total, "m²·K/W"),
    }
    sheet.write(f"{name}, temperature", "θ", "θi − (θi − θe) · R_c / R_T", given, temperature, "°C", _TEMPERATURE_CLAUSE)
    formula, pressure = saturation_formula(temperature, "θ"), month.saturation_pa[plane]
    sheet.write(f"{name}, saturation pressure", "psat", formula, {"θ": (temperature, "°C")}, pressure, "Pa", SATURATION_CLAUSE)


def _amounts(sheet: Sheet, year: CondensationYear, month: CondensationMonth, plane: int) -> None:
    name = _name(year, month, plane)
    held = month.held_g_m2[plane] - month.change_g_m2[plane]
    for span in month.spans:
        profile = span.profile
        rate = profile.rates_kg_m2s[plane]
        if plane not in profile.touching:
            continue
        at = profile.touching.index(plane)
        before, after = profile.touching[at - 1], profile.touching[at + 1]
        given = {
            "δ0": (AIR_PERMEABILITY, "kg/(m·s·Pa)"),
            "p_a": (profile.pressures_pa[before], "Pa"),
            "p_c": (profile.pressures_pa[plane], "Pa"),
            "p_b": (profile.pressures_pa[after], "Pa"),
            "s_a": (year.nodes[before].sd_m, "m"),
            "s_c": (year.nodes[plane].sd_m, "m"),
            "s_b": (year.nodes[after].sd_m, "m"),
        }
        formula = "δ0 · ((p_a − p_c) / (s_c − s_a) − (p_c − p_b) / (s_b − s_c))"
        sheet.write(f"{name}, vapour that stays", "g", formula, given, rate, "kg/(m²·s)", FLOW_CLAUSE)
        now = max(0.0, held + rate * span.seconds * GRAMS)
        given = {"M": (held, "g/m²"), "g": (rate, "kg/(m²·s)"), "t": (span.seconds, "s")}
        sheet.write(f"{name}, water held", "M", f"max(0, M + {GRAMS:g} · g · t)", given, now, "g/m²", FLOW_CLAUSE)
        held = now


def _closest(sheet: Sheet, construction: Construction, climate: Climate, year: CondensationYear) -> None:
    planes = range(1, len(year.nodes) - 1)
    if not planes:
        return
    month, plane = max(
        ((month, plane) for month in year.months for plane in planes),
        key=lambda pair: pair[0].pressures_pa[pair[1]] / pair[0].saturation_pa[pair[1]],
    )
    _saturation(sheet, construction, climate, year, month, plane)
    given = {
        "pi": (month.pressures_pa[0], "Pa"),
        "pe": (month.pressures_pa[-1], "Pa"),
        "s_c": (year.nodes[plane].sd_m, "m"),
        "s_T": (year.nodes[-1].sd_m, "m"),
    }
    about = f"{_name(year, month, plane)}, vapour pressure, below saturation here and everywhere else"
    sheet.write(about, "p", "pi − (pi − pe) · s_c / s_T", given, month.pressures_pa[plane], "Pa", FLOW_CLAUSE)
