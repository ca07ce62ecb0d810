"""Assesses a build-up without a survey; nothing is stored."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.engine.heat.constructions import Through, built
from service.engine.heat.substrates import wall_layers
from service.engine.heat_inputs import BuildUp
from service.engine.parameters import PARAMETER_FIELDS
from service.engine.physics.assessment import Assessor, Question
from service.engine.physics.climate import inside_by_class_steps
from service.engine.physics.faults import Refused
from service.engine.physics.layers import MOST_THICKNESS_MM, Layer
from service.engine.physics.limits import CLIMATE_NEEDED, MOISTURE_LIMITS, THERMAL_LIMITS
from service.errors import Fault, Invalid
from service.snapshots.heat import assessment_document, limits_document, moisture_whole, steps_document
from service.store.database import Database
from service.store.models import Specification, Wall
from service.store.rules import Number
from service.usecases.build_up_layers import resolved_build_up
from service.usecases.build_up_members import read_build_up
from service.usecases.checking import read_member, refuse_unknown
from service.usecases.climate_members import engine_climate, read_climate
from service.vocabulary import Substrate

WALL_THICKNESS_MM = Number(Wall.fields()["thickness_mm"].info["rule"].least, MOST_THICKNESS_MM)
BRACKETS_PER_M2 = Number(0, 1000)
DEFAULTS = {
    name: (float(field.metadata["least"]), float(field.metadata["most"]), field.default)
    for name, field in PARAMETER_FIELDS.items()
    if name in ("bracket_section_mm2", "bracket_conductivity_w_mk", "insulation_air_gap_level")
}
"""Least, most and default of the parameters that a specification has for what goes through the insulation."""
_WALL = Wall.fields()
_SPECIFICATION = Specification.fields()
_INFOS: dict[str, Mapping[str, Any]] = {
    "substrate": _WALL["substrate"].info,
    "wall_thickness_mm": {**_WALL["thickness_mm"].info, "rule": WALL_THICKNESS_MM},
    "brackets_per_m2": {"rule": BRACKETS_PER_M2, "default": 0},
    **{
        name: {"rule": Number(least, most, whole=name.endswith("_level")), "default": default}
        for name, (least, most, default) in DEFAULTS.items()
    },
    **{name: _SPECIFICATION[name].info for name in ("target_u_value_w_m2k", "critical_temperature_factor")},
}


def assess_build_up(database: Database, account_id: UUID, request: Mapping[str, Any]) -> dict[str, Any]:
    """Layers, transmittances, the way to the target, moisture and the limits of the methods, with the working.

    `request`: `build_up`, and where given `substrate`, `wall_thickness_mm`, `brackets_per_m2`, `bracket_section_mm2`,
    `bracket_conductivity_w_mk`, `insulation_air_gap_level`, `target_u_value_w_m2k`, `critical_temperature_factor`, `climate`.

    Raises:
        Invalid: every fault by pointer, what the method does not hold for included.
    """
    faults: list[Fault] = []
    refuse_unknown(request, [*_INFOS, "build_up", "climate"], "#", faults)
    values = {name: read_member(request, name, info, "#", faults) for name, info in _INFOS.items()}
    layers = read_build_up(request.get("build_up"), "#/build_up", faults)
    climate = read_climate(request.get("climate"), "#/climate", faults)
    build_up = None
    if layers is not None and not faults:
        with database.read() as session:
            build_up = resolved_build_up(session, account_id, layers, "#/build_up", faults, needs_wall=False)
    if faults or build_up is None:
        raise Invalid(faults or [Fault("#/build_up", "This member is required.", "required")])
    wall: tuple[Layer, ...] = ()
    assumed = None
    if build_up.wall_at is not None:
        own_mm = next(entry.get("thickness_mm") for entry in layers or () if entry.get("wall"))
        thickness_mm = values["wall_thickness_mm"] if own_mm is None else own_mm
        try:
            wall, assumed = wall_layers(Substrate(values["substrate"]), thickness_mm, build_up.wall_material)
        except Refused as refusal:
            raise Invalid([Fault("#/wall_thickness_mm", f"{refusal}.", "out_of_range")]) from None
    return {**_assessed(build_up, wall, values, climate), "assumed": assumed}


def _assessed(
    build_up: BuildUp, wall: tuple[Layer, ...], values: Mapping[str, Any], climate: Mapping[str, Any] | None
) -> dict[str, Any]:
    through = Through(
        per_m2=values["brackets_per_m2"],
        section_mm2=values["bracket_section_mm2"],
        conductivity_w_mk=values["bracket_conductivity_w_mk"],
        air_gap_level=values["insulation_air_gap_level"],
    )
    air = None if climate is None else engine_climate(climate)
    try:
        made = built(build_up, wall, through)
        assessment = Assessor().assess(
            Question(
                after=made.after,
                before=made.before,
                insulation=made.insulation,
                membrane=made.membrane,
                target_w_m2k=values["target_u_value_w_m2k"],
                critical_factor=values["critical_temperature_factor"],
                climate=air,
            )
        )
    except Refused as refusal:
        raise Invalid(
            [_pointed(fault.where, fault.detail, fault.code, build_up, len(wall)) for fault in refusal.faults]
        ) from None
    humidity_class = None if climate is None else climate.get("humidity_class")
    steps = () if air is None or humidity_class is None else inside_by_class_steps(air.outside, humidity_class)
    return {
        **assessment_document(assessment),
        "moisture": moisture_whole(assessment),
        "climate_steps": steps_document(steps),
        "limits": limits_document((*THERMAL_LIMITS, *(MOISTURE_LIMITS if air is not None else [CLIMATE_NEEDED]))),
    }


def _pointed(where: tuple[str | int, ...], detail: str, code: str, build_up: BuildUp, wall_layers: int) -> Fault:
    """Places of the whole as places of the list that was sent, in which the wall is one entry."""
    place: tuple[str | int, ...] = ()
    if len(where) > 1 and where[0] == "layers" and isinstance(where[1], int):
        at, wall_at = where[1], build_up.wall_at
        if wall_at is not None and at >= wall_at:
            at = wall_at if at < wall_at + wall_layers else at - wall_layers + 1
        place = (at, *where[2:])
    pointer = "/".join(["#/build_up", *(str(step) for step in place)])
    return Fault(pointer, f"{detail[0].upper()}{detail[1:]}.", code)
