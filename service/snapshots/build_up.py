"""What an answer on heat and moisture depended on, as JSON: the build-up with its numbers, the target, the climate."""

from service.engine.heat_inputs import BuildUp, HeatInputs
from service.engine.physics.climate import Air, Climate
from service.snapshots.heat import layer_document
from service.snapshots.places import Json


def heat_inputs_document(heat: HeatInputs) -> Json:
    return {
        "build_up": None if heat.build_up is None else _build_up(heat.build_up),
        "target_u_value_w_m2k": heat.target_u_value_w_m2k,
        "critical_temperature_factor": heat.critical_temperature_factor,
        "climate": None if heat.climate is None else _climate(heat.climate),
        "humidity_class": heat.humidity_class,
        "year_built": heat.year_built,
    }


def _build_up(build_up: BuildUp) -> list[Json]:
    """From inside to outside. Where the wall goes stands `{"wall": true}`, with its material where one was named."""
    frame = build_up.steel_frame
    layers: list[Json] = []
    for one in build_up.layers:
        layer = {**layer_document(one.layer), "existing": one.existing, "membrane": one.membrane, "insulation": one.insulation}
        if frame is not None and one.layer.bridge is not None and one.layer.bridge.is_metal:
            steel = {"flange_mm": frame.flange_mm, "spacing_mm": frame.spacing_mm, "depth_mm": frame.depth_mm}
            layer["bridge"] = {**layer["bridge"], "steel_frame": steel}
        layers.append(layer)
    if build_up.wall_at is not None:
        material = build_up.wall_material
        wall: Json = {"wall": True}
        if material is not None:
            wall |= {
                "name": material.name,
                "conductivity_w_mk": material.conductivity_w_mk,
                "mu": material.mu,
                "source": material.source,
            }
        layers.insert(build_up.wall_at, wall)
    return layers


def _climate(climate: Climate) -> Json:
    return {"outside": [_air(air) for air in climate.outside], "inside": [_air(air) for air in climate.inside]}


def _air(air: Air) -> Json:
    return {"temperature_c": air.temperature_c, "humidity_percent": air.humidity_percent}
