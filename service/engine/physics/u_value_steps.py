"""The working of a thermal transmittance, written out. Layers are numbered from 1, inside first."""

from service.engine.physics.air import SURFACE_CLAUSE
from service.engine.physics.construction import Construction
from service.engine.physics.corrections import (
    AIR_GAP_CLAUSE,
    AIR_GAP_DELTA_W_M2K,
    FASTENER_CLAUSE,
    FASTENER_COUNTS_FROM_W_MK,
    FULL_PENETRATION_ALPHA,
    LEAVE_OUT_BELOW,
    LEAVE_OUT_CLAUSE,
    Fasteners,
)
from service.engine.physics.layers import LAYER_CLAUSE
from service.engine.physics.resistance import (
    COMBINED_CLAUSE,
    ERROR_CLAUSE,
    LIGHT_STEEL_CLAUSE,
    LOWER_CLAUSE,
    TOTAL_CLAUSE,
    UPPER_CLAUSE,
    light_steel_share,
    mean_layer_m2k_w,
    paths,
)
from service.engine.physics.steps import Sheet, Step
from service.engine.physics.u_value import UValue

Terms = dict[str, tuple[float, str]]
_R = "m²·K/W"
_U = "W/(m²·K)"
_LAMBDA = "W/(m·K)"


def u_value_steps(construction: Construction, result: UValue) -> tuple[Step, ...]:
    """Every step from the layers of `construction` to `result`, which must be its own `u_value`."""
    sheet = Sheet()
    surfaces = construction.surfaces
    sheet.write("inside surface", "R_si", "R_si", {"R_si": (surfaces.rsi_m2k_w, _R)}, surfaces.rsi_m2k_w, _R, SURFACE_CLAUSE)
    sheet.write("outside surface", "R_se", "R_se", {"R_se": (surfaces.rse_m2k_w, _R)}, surfaces.rse_m2k_w, _R, SURFACE_CLAUSE)
    for at in range(len(construction.layers)):
        _layer(sheet, construction, at)
    if any(layer.bridge is not None for layer in construction.layers):
        _limits(sheet, construction, result)
    else:
        formula, given = _chain(construction, {})
        sheet.write("total resistance", "R_T", formula, given, result.resistance_m2k_w, _R, TOTAL_CLAUSE)
    given = {"R_T": (result.resistance_m2k_w, _R)}
    sheet.write(
        "thermal transmittance before corrections", "U_0", "1 / R_T", given, result.u_value_uncorrected_w_m2k, _U, TOTAL_CLAUSE
    )
    _corrections(sheet, construction, result)
    return sheet.steps()


def _layer(sheet: Sheet, construction: Construction, at: int) -> None:
    layer, n = construction.layers[at], at + 1
    clause = f"{LAYER_CLAUSE}; {layer.source}" if layer.source else LAYER_CLAUSE
    if layer.conductivity_w_mk is not None:
        given = {f"d_{n}": (layer.thickness_mm / 1000, "m"), f"λ_{n}": (layer.conductivity_w_mk, _LAMBDA)}
        sheet.write(f"layer {n}, {layer.name}", f"R_{n}", f"d_{n} / λ_{n}", given, layer.clear_m2k_w, _R, clause)
    else:
        sheet.write(
            f"layer {n}, {layer.name}", f"R_{n}", f"R_{n}", {f"R_{n}": (layer.clear_m2k_w, _R)}, layer.clear_m2k_w, _R, clause
        )
    if layer.bridge is not None:
        given = {f"d_{n}": (layer.thickness_mm / 1000, "m"), f"λb_{n}": (layer.bridge.conductivity_w_mk, _LAMBDA)}
        sheet.write(f"bridge of layer {n}", f"Rb_{n}", f"d_{n} / λb_{n}", given, layer.bridge_m2k_w, _R, clause)


def _chain(construction: Construction, along_bridge: dict[int, bool], mean: bool = False) -> tuple[str, Terms]:
    """The resistances in a row as a formula: along one path, or with bridged layers averaged."""
    given = {"R_si": (construction.surfaces.rsi_m2k_w, _R)}
    for at, layer in enumerate(construction.layers):
        if mean and layer.bridge is not None:
            given[f"Rm_{at + 1}"] = (mean_layer_m2k_w(construction, at), _R)
        elif along_bridge.get(at):
            given[f"Rb_{at + 1}"] = (layer.bridge_m2k_w, _R)
        else:
            given[f"R_{at + 1}"] = (layer.clear_m2k_w, _R)
    given["R_se"] = (construction.surfaces.rse_m2k_w, _R)
    return " + ".join(given), given


def _limits(sheet: Sheet, construction: Construction, result: UValue) -> None:
    terms: list[str] = []
    sides: Terms = {}
    for n, path in enumerate(paths(construction), 1):
        factors = " · ".join(f"f_{at + 1}" if on else f"(1 − f_{at + 1})" for at, on in path.along_bridge.items())
        shares = {f"f_{at + 1}": (bridge.fraction, "") for at in path.along_bridge if (bridge := construction.layers[at].bridge)}
        sheet.write(f"share of path {n}", f"F_{n}", factors, shares, path.share, "", UPPER_CLAUSE)
        formula, given = _chain(construction, path.along_bridge)
        sheet.write(f"resistance of path {n}", f"RT_{n}", formula, given, path.resistance_m2k_w, _R, UPPER_CLAUSE)
        terms.append(f"F_{n} / RT_{n}")
        sides |= {f"F_{n}": (path.share, ""), f"RT_{n}": (path.resistance_m2k_w, _R)}
    upper, lower, total = result.resistance_upper_m2k_w, result.resistance_lower_m2k_w, result.resistance_m2k_w
    sheet.write("upper limit", "R_upper", f"1 / ({' + '.join(terms)})", sides, upper, _R, UPPER_CLAUSE)
    for at, layer in enumerate(construction.layers):
        if layer.bridge is not None:
            n, mean = at + 1, mean_layer_m2k_w(construction, at)
            given = {
                f"f_{n}": (layer.bridge.fraction, ""),
                f"R_{n}": (layer.clear_m2k_w, _R),
                f"Rb_{n}": (layer.bridge_m2k_w, _R),
            }
            formula = f"1 / ((1 − f_{n}) / R_{n} + f_{n} / Rb_{n})"
            sheet.write(f"layer {n} averaged with its bridge", f"Rm_{n}", formula, given, mean, _R, LOWER_CLAUSE)
    formula, given = _chain(construction, {}, mean=True)
    sheet.write("lower limit", "R_lower", formula, given, lower, _R, LOWER_CLAUSE)
    limits = {"R_upper": (upper, _R), "R_lower": (lower, _R)}
    frame = construction.steel_frame
    if frame is None:
        sheet.write("total resistance", "R_T", "(R_upper + R_lower) / 2", limits, total, _R, COMBINED_CLAUSE)
        given = limits | {"R_T": (total, _R)}
        formula = "max(0, R_upper − R_lower) / (2 · R_T)"
        sheet.write("largest relative error", "e", formula, given, result.relative_error, "", ERROR_CLAUSE)
        return
    share = light_steel_share(frame, upper, lower)
    given = limits | {"w": (frame.flange_mm, "mm"), "s": (frame.spacing_mm, "mm"), "d": (frame.depth_mm, "mm")}
    formula = "0.8 · R_lower / R_upper + 0.44 − 0.1 · w / 40 − 0.2 · 600 / s − 0.04 · d / 100"
    sheet.write("weight of the upper limit", "p", formula, given, share, "", LIGHT_STEEL_CLAUSE)
    given = limits | {"p": (share, "")}
    sheet.write("total resistance", "R_T", "p · R_upper + (1 − p) · R_lower", given, total, _R, LIGHT_STEEL_CLAUSE)


def _corrections(sheet: Sheet, construction: Construction, result: UValue) -> None:
    base = {"U_0": (result.u_value_uncorrected_w_m2k, _U)}
    if not construction.corrections:
        sheet.write("thermal transmittance", "U", "U_0", base, result.u_value_w_m2k, _U, TOTAL_CLAUSE)
        return
    clear = construction.clear_m2k_w
    formula, given = _chain(construction, {})
    sheet.write("total resistance without bridges", "R_Th", formula, given, clear, _R, FASTENER_CLAUSE)
    for n, (correction, term) in enumerate(zip(construction.corrections, result.corrections, strict=True), 1):
        at = correction.layer
        layer = construction.layers[at]
        given = {f"R_{at + 1}": (layer.clear_m2k_w, _R), "R_Th": (clear, _R)}
        if isinstance(correction, Fasteners):
            _fasteners(sheet, n, correction, layer.thickness_mm, given, term.delta_w_m2k)
        else:
            given = {"ΔUg": (AIR_GAP_DELTA_W_M2K[correction.level], _U)} | given
            about = f"air gaps of level {correction.level} in layer {at + 1}"
            sheet.write(about, f"ΔU_{n}", f"ΔUg · (R_{at + 1} / R_Th)²", given, term.delta_w_m2k, _U, AIR_GAP_CLAUSE)
    deltas = {f"ΔU_{n}": (term.delta_w_m2k, _U) for n, term in enumerate(result.corrections, 1)}
    total = " + ".join(deltas)
    sheet.write("all corrections", "ΔU", total, deltas, result.corrections_w_m2k, _U, LEAVE_OUT_CLAUSE)
    if result.corrections_counted:
        given = base | {"ΔU": (result.corrections_w_m2k, _U)}
        sheet.write("thermal transmittance", "U", "U_0 + ΔU", given, result.u_value_w_m2k, _U, LEAVE_OUT_CLAUSE)
    else:
        about = f"thermal transmittance, corrections left out as they stay below {LEAVE_OUT_BELOW:.0%}"
        sheet.write(about, "U", "U_0", base, result.u_value_w_m2k, _U, LEAVE_OUT_CLAUSE)


def _fasteners(sheet: Sheet, n: int, correction: Fasteners, thickness_mm: float, ratio: Terms, delta: float) -> None:
    at = correction.layer + 1
    if correction.conductivity_w_mk < FASTENER_COUNTS_FROM_W_MK:
        about = f"fasteners through layer {at} conduct less than {FASTENER_COUNTS_FROM_W_MK:g} {_LAMBDA}, so nothing is added"
        sheet.write(about, f"ΔU_{n}", "0", {}, delta, _U, FASTENER_CLAUSE)
        return
    depth = {f"d_{at}": (thickness_mm / 1000, "m")}
    alpha = correction.alpha(thickness_mm)
    if correction.penetration_mm is None:
        sheet.write("full penetration", f"α_{n}", f"{FULL_PENETRATION_ALPHA}", {}, alpha, "", FASTENER_CLAUSE)
    else:
        given = {f"dp_{n}": (correction.penetration_mm / 1000, "m")} | depth
        formula = f"{FULL_PENETRATION_ALPHA} · min(1, dp_{n} / d_{at})"
        sheet.write("penetration in proportion", f"α_{n}", formula, given, alpha, "", FASTENER_CLAUSE)
    given = {
        f"α_{n}": (alpha, ""),
        "λf": (correction.conductivity_w_mk, _LAMBDA),
        "Af": (correction.area_mm2 * 1e-6, "m²"),
        "nf": (correction.per_m2, "1/m²"),
        **depth,
        **ratio,
    }
    formula = f"α_{n} · λf · Af · nf / d_{at} · (R_{at} / R_Th)²"
    sheet.write(f"fasteners through layer {at}", f"ΔU_{n}", formula, given, delta, _U, FASTENER_CLAUSE)
