"""A build-up's members: a list of layers in JSON, each checked by itself; `build_up_layers` says what they come to."""

from collections.abc import Mapping
from typing import Any

from service.engine.physics.construction import MOST_LAYERS
from service.engine.physics.layers import MOST_CONDUCTIVITY_W_MK, MOST_RESISTANCE_M2K_W, MOST_SD_M, MOST_THICKNESS_MM
from service.errors import Fault
from service.store.rules import Flag, Number, Structure, Text
from service.usecases.checking import read_member, refuse_unknown

Json = Mapping[str, Any]

LEAST = 1e-6
"""Numbers that divide something are at least this."""
NUMBERS = {
    "thickness_mm": Number(LEAST, MOST_THICKNESS_MM),
    "conductivity_w_mk": Number(LEAST, MOST_CONDUCTIVITY_W_MK),
    "resistance_m2k_w": Number(0, MOST_RESISTANCE_M2K_W),
    "mu": Number(LEAST, 1e9),
    "sd_m": Number(LEAST, MOST_SD_M),
}
BRIDGE_NUMBERS = {"fraction": Number(0, 1), "conductivity_w_mk": NUMBERS["conductivity_w_mk"]}
FRAME_NUMBERS = {"flange_mm": Number(LEAST, 200), "spacing_mm": Number(LEAST, 2000), "depth_mm": Number(LEAST, 500)}
TEXTS = {"name": Text(200), "material_id": Text(100), "source": Text(500)}
MARKS = ("existing", "membrane", "insulation")
WALL_MEMBERS = ("wall", "name", "material_id", "thickness_mm", "conductivity_w_mk", "mu", "source")
"""A surveyed wall is as thick as it was measured: the thickness here is for where there is no survey."""


def read_build_up(data: Any, at: str, faults: list[Fault]) -> list[dict[str, Any]] | None:
    """The members as they are kept, each checked by itself; `checked_build_up` checks what they come to."""
    if data is None:
        return None
    if not isinstance(data, list):
        faults.append(Fault(at, "Must be a list of layers, from inside to outside.", "wrong_type"))
        return None
    if not 1 <= len(data) <= MOST_LAYERS:
        code = "too_long" if data else "too_short"
        faults.append(Fault(at, f"Must have at least 1 and at most {MOST_LAYERS} layers, has {len(data)}.", code))
        return None
    return [_read_layer(entry, f"{at}/{i}", faults) for i, entry in enumerate(data)]


def _read_layer(data: Any, at: str, faults: list[Fault]) -> dict[str, Any]:
    if not isinstance(data, Mapping):
        faults.append(Fault(at, "Must be an object.", "wrong_type"))
        return {}
    refuse_unknown(data, [*TEXTS, *NUMBERS, *MARKS, "wall", "bridge"], at, faults)
    rules = {**TEXTS, **NUMBERS, **dict.fromkeys((*MARKS, "wall"), Flag()), "bridge": Structure(dict)}
    found = {name: _given(data, name, rule, at, faults) for name, rule in rules.items()}
    if isinstance(found["bridge"], Mapping):
        found["bridge"] = _read_bridge(found["bridge"], f"{at}/bridge", faults)
    kept = {name: found[name] for name in data if found.get(name) is not None}
    if kept.get("wall"):
        for name in kept:
            if name not in WALL_MEMBERS:
                faults.append(Fault(f"{at}/{name}", "The wall's entry takes this from the wall itself.", "not_of_the_wall"))
    elif "name" not in kept and "material_id" not in kept:
        faults.append(Fault(f"{at}/name", "A layer needs a name or a material_id.", "required"))
    return kept


def _read_bridge(data: Json, at: str, faults: list[Fault]) -> dict[str, Any]:
    refuse_unknown(data, [*BRIDGE_NUMBERS, "steel_frame"], at, faults)
    kept = {name: read_member(data, name, {"rule": rule}, at, faults) for name, rule in BRIDGE_NUMBERS.items()}
    frame = _given(data, "steel_frame", Structure(dict), at, faults)
    if frame is not None:
        within = f"{at}/steel_frame"
        refuse_unknown(frame, FRAME_NUMBERS, within, faults)
        kept["steel_frame"] = {
            name: read_member(frame, name, {"rule": rule}, within, faults) for name, rule in FRAME_NUMBERS.items()
        }
    return kept


def _given(data: Json, name: str, rule: Any, at: str, faults: list[Fault]) -> Any:
    return read_member(data, name, {"rule": rule, "default": None}, at, faults)
