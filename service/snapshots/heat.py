"""Heat and moisture as JSON: one document a wall, a room, the whole, and one for each construction whose moisture was followed.

Numbers are given to ten significant figures: more would be noise of the machine, fewer would be rounding.
"""

from collections.abc import Mapping

from service.engine.heat_results import Heat, PlacedCaution, RoomHeat, WallHeat
from service.engine.physics.assessment import Assessment, Moisture
from service.engine.physics.interstitial import CondensationMonth, CondensationYear
from service.engine.physics.layers import Layer
from service.engine.physics.limits import Limit
from service.engine.physics.steps import Step, whole_up
from service.engine.physics.surface import SurfaceCheck
from service.snapshots.places import Json, room_place, wall_place


def thermal_parts(heat: Heat) -> Mapping[str, Json]:
    """By key: a wall's place, `room/` and a room's, `moisture/` and a number, `whole`."""
    moistures: dict[int, tuple[int, Moisture, list[WallHeat]]] = {}
    parts: dict[str, Json] = {}
    for wall in heat.walls:
        number = None
        moisture = None if wall.assessment is None else wall.assessment.moisture
        if moisture is not None:
            number, _, walls = moistures.setdefault(id(moisture), (len(moistures) + 1, moisture, []))
            walls.append(wall)
        parts[wall_place(wall.room, wall.wall)] = _wall(wall, number)
    for number, moisture, walls in moistures.values():
        parts[f"moisture/{number}"] = {
            "number": number,
            "walls": [_place(w.room, w.wall) for w in walls],
            **moisture_document(moisture),
        }
    for room in heat.rooms:
        assert room.room is not None
        parts[f"room/{room_place(room.room)}"] = {
            "room_id": room_place(room.room),
            **_sums(room),
            "steps": steps_document(room.steps),
        }
    parts["whole"] = {
        "build_up_given": not heat.described,
        "total": _sums(heat.total),
        "steps": steps_document(heat.steps),
        "limits": limits_document(heat.limits),
    }
    return parts


def cautions_document(cautions: tuple[PlacedCaution, ...]) -> Json:
    return {
        "cautions": [
            {
                "code": placed.caution.id,
                "because": placed.caution.because,
                "what_to_do": placed.caution.what_to_do,
                "competent": placed.caution.competent,
                "source": placed.caution.source,
                "certainty": placed.caution.certainty,
                "walls": [_place(*place) for place in placed.walls],
            }
            for placed in cautions
        ]
    }


def _wall(wall: WallHeat, number: int | None) -> Json:
    return {
        **_place(wall.room, wall.wall),
        "area_m2": ten_figures(wall.area_m2),
        "opening_area_m2": ten_figures(wall.opening_area_m2),
        "carries_lining": wall.carries_lining,
        "brackets": wall.brackets,
        "brackets_per_m2": ten_figures(wall.brackets_per_m2),
        "assumed": wall.assumed,
        "not_assessed": wall.reason,
        "heat_loss_before_w_k": _maybe(wall.heat_loss_before_w_k),
        "heat_loss_w_k": _maybe(wall.heat_loss_w_k),
        **(_NOT_ASSESSED if wall.assessment is None else assessment_document(wall.assessment)),
        "moisture": None if wall.assessment is None else moisture_verdict(wall.assessment, number),
    }


def assessment_document(assessment: Assessment) -> Json:
    """Layers, limits, corrections, transmittances and the way to the target, with the working."""
    result, to_target = assessment.u_after, assessment.to_target
    reached = None if to_target is None or to_target.added_mm is None else to_target
    return {
        "layers": [layer_document(layer) for layer in assessment.question.after.layers],
        "method": result.method,
        "resistance_upper_m2k_w": ten_figures(result.resistance_upper_m2k_w),
        "resistance_lower_m2k_w": ten_figures(result.resistance_lower_m2k_w),
        "resistance_m2k_w": ten_figures(result.resistance_m2k_w),
        "relative_error": ten_figures(result.relative_error),
        "u_value_uncorrected_w_m2k": ten_figures(result.u_value_uncorrected_w_m2k),
        "corrections": [
            {
                "kind": term.kind,
                "layer": term.layer,
                "delta_u_w_m2k": ten_figures(term.delta_w_m2k),
                "counted": result.corrections_counted,
            }
            for term in result.corrections
        ],
        "u_value_before_w_m2k": None if assessment.u_before is None else ten_figures(assessment.u_before.u_value_w_m2k),
        "u_value_w_m2k": ten_figures(result.u_value_w_m2k),
        "target_u_value_w_m2k": assessment.question.target_w_m2k,
        "missing_resistance_m2k_w": _maybe(assessment.missing_m2k_w),
        "insulation_to_target_mm": None if reached is None or reached.added_mm is None else whole_up(reached.added_mm),
        "insulation_thickness_at_target_mm": None if reached is None else reached.whole_mm,
        "to_target": None if to_target is None else to_target.reason,
        "steps": steps_document(assessment.steps),
        "steps_before": steps_document(assessment.steps_before),
    }


_NOT_ASSESSED: Json = {
    **dict.fromkeys(("method", "resistance_upper_m2k_w", "resistance_lower_m2k_w", "resistance_m2k_w", "relative_error")),
    **dict.fromkeys(("u_value_uncorrected_w_m2k", "u_value_before_w_m2k", "u_value_w_m2k", "target_u_value_w_m2k")),
    **dict.fromkeys(("missing_resistance_m2k_w", "insulation_to_target_mm", "insulation_thickness_at_target_mm", "to_target")),
    "layers": [],
    "corrections": [],
    "steps": [],
    "steps_before": [],
}


def layer_document(layer: Layer) -> Json:
    bridge = layer.bridge
    return {
        "name": layer.name,
        "thickness_mm": layer.thickness_mm,
        "conductivity_w_mk": layer.conductivity_w_mk,
        "resistance_m2k_w": ten_figures(layer.clear_m2k_w),
        "bridge": None if bridge is None else {"fraction": bridge.fraction, "conductivity_w_mk": bridge.conductivity_w_mk},
        "mu": layer.mu,
        "sd_m": layer.sd_m,
        "source": layer.source,
    }


def moisture_verdict(assessment: Assessment, number: int | None) -> Json | None:
    """In short, for a wall; None without a climate. `number`: of the whole account of its construction."""
    surface, moisture = assessment.surface, assessment.moisture
    if surface is None:
        return None
    return {
        "number": number,
        "not_followed": assessment.no_moisture,
        "with_membrane": None if moisture is None or moisture.with_membrane is None else _verdict(moisture.with_membrane),
        "without_membrane": None
        if moisture is None or moisture.without_membrane is None
        else _verdict(moisture.without_membrane),
        "surface": _surface(surface),
    }


def moisture_document(moisture: Moisture) -> Json:
    """The year with and without the membrane, month by month, with its working."""
    return {
        "membrane": moisture.membrane,
        "with_membrane": None if moisture.with_membrane is None else _year(moisture.with_membrane, moisture.steps_with),
        "without_membrane": None
        if moisture.without_membrane is None
        else _year(moisture.without_membrane, moisture.steps_without),
    }


def moisture_whole(assessment: Assessment) -> Json | None:
    """Surface and year of one build-up by itself; None without a climate."""
    if assessment.surface is None:
        return None
    moisture = assessment.moisture
    years = (
        moisture_document(moisture) if moisture is not None else dict.fromkeys(("membrane", "with_membrane", "without_membrane"))
    )
    return {
        **years,
        "condenses": None if moisture is None else moisture.as_built.condenses,
        "not_followed": assessment.no_moisture,
        "surface": _surface(assessment.surface),
    }


def _verdict(year: CondensationYear) -> Json:
    return {
        "condenses": year.condenses,
        "dries_out": year.dries_out,
        "peak_g_m2": ten_figures(year.peak_g_m2),
        "peak_month": year.peak_month,
        "dry_month": year.dry_month,
        "left_g_m2": ten_figures(year.left_g_m2),
    }


def _year(year: CondensationYear, steps: tuple[Step, ...]) -> Json:
    return {
        **_verdict(year),
        "start_month": year.start_month,
        "planes": [
            {
                "plane": at,
                "name": year.nodes[at].name,
                "resistance_m2k_w": ten_figures(year.nodes[at].resistance_m2k_w),
                "sd_m": ten_figures(year.nodes[at].sd_m),
            }
            for at in year.wet_planes
        ],
        "months": [_month(month, year.wet_planes) for month in year.months],
        "steps": steps_document(steps),
    }


def _month(month: CondensationMonth, planes: tuple[int, ...]) -> Json:
    return {
        "month": month.month,
        "change_g_m2": ten_figures(sum(month.change_g_m2)),
        "held_g_m2": ten_figures(month.total_held_g_m2),
        "inflow_g_m2": ten_figures(month.inflow_g_m2),
        "outflow_g_m2": ten_figures(month.outflow_g_m2),
        "wet_surfaces": list(month.wet_surfaces),
        "planes": [
            {
                "plane": at,
                "temperature_c": ten_figures(month.temperatures_c[at]),
                "saturation_pa": ten_figures(month.saturation_pa[at]),
                "vapour_pressure_pa": ten_figures(month.pressures_pa[at]),
                "change_g_m2": ten_figures(month.change_g_m2[at]),
                "held_g_m2": ten_figures(month.held_g_m2[at]),
            }
            for at in planes
        ],
    }


def _surface(check: SurfaceCheck) -> Json:
    return {
        "temperature_factor": ten_figures(check.temperature_factor),
        "required_factor": _maybe(check.required_factor),
        "critical_month": check.critical_month,
        "factor_reached": check.factor_reached,
        "critical_factor": check.critical_factor,
        "critical_reached": check.critical_reached,
        "months": [
            {
                "month": month.month,
                "surface_temperature_c": ten_figures(month.surface_temperature_c),
                "surface_humidity_percent": ten_figures(month.surface_humidity_percent),
                "least_surface_temperature_c": ten_figures(month.least_surface_temperature_c),
                "required_factor": _maybe(month.required_factor),
                "humidity_kept": month.humidity_kept,
            }
            for month in check.months
        ],
    }


def steps_document(steps: tuple[Step, ...]) -> list[Json]:
    return [
        {
            "about": step.about,
            "symbol": step.symbol,
            "formula": step.formula,
            "inputs": [{"symbol": q.symbol, "value": ten_figures(q.value), "unit": q.unit} for q in step.inputs],
            "value": ten_figures(step.value),
            "unit": step.unit,
            "clause": step.clause,
        }
        for step in steps
    ]


def limits_document(limits: tuple[Limit, ...]) -> list[Json]:
    return [{"code": one.id, "text": one.text, "source": one.source, "certainty": one.certainty} for one in limits]


def _sums(room: RoomHeat) -> Json:
    floor = room.floor_area_m2
    return {
        "area_m2": ten_figures(room.area_m2),
        "opening_area_m2": ten_figures(room.opening_area_m2),
        "heat_loss_before_w_k": _maybe(room.heat_loss_before_w_k),
        "heat_loss_w_k": _maybe(room.heat_loss_w_k),
        "floor_area_m2": _maybe(floor),
        "floor_area_lost_m2": ten_figures(room.floor_area_lost_m2),
        "floor_area_lost_percent": ten_figures(100 * room.floor_area_lost_m2 / floor) if floor else None,
    }


def _place(room: int, wall: int) -> Json:
    return {"room_id": room_place(room), "wall_id": wall_place(room, wall)}


def _maybe(value: float | None) -> float | None:
    return None if value is None else ten_figures(value)


def ten_figures(value: float) -> float:
    """To ten significant figures; no negative zero."""
    return float(f"{value:.10g}") + 0.0
