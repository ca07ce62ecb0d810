"""A climate's members: twelve months of outside air, and inside air by humidity class or given month by month."""

from collections.abc import Mapping
from typing import Any

from service.engine.physics.climate import LEAST_CLIMATE_C, MONTHS, MOST_CLIMATE_C, Air, Climate, inside_by_class
from service.engine.physics.faults import Refused
from service.errors import Fault
from service.store.rules import Number, Structure, Text
from service.usecases.checking import read_member, refuse_unknown

Json = Mapping[str, Any]

AIR = {"temperature_c": Number(LEAST_CLIMATE_C, MOST_CLIMATE_C), "humidity_percent": Number(0, 100)}
INSIDE_TEMPERATURE_C = 20.0
"""Where a humidity class is given without one."""
RULES = {
    "outside": Structure(list),
    "inside": Structure(list),
    "humidity_class": Number(1, 5, whole=True),
    "inside_temperature_c": Number(0, 40),
    "source": Text(500),
}


def read_climate(data: Any, at: str, faults: list[Fault]) -> dict[str, Any] | None:
    """The members as they are kept, with a fault for each that is wrong; None for none."""
    if data is None:
        return None
    if not isinstance(data, Mapping):
        faults.append(Fault(at, "Must be an object.", "wrong_type"))
        return None
    before = len(faults)
    refuse_unknown(data, RULES, at, faults)
    found = {name: read_member(data, name, {"rule": rule, "default": None}, at, faults) for name, rule in RULES.items()}
    for name in ("outside", "inside"):
        if found[name] is not None:
            found[name] = _read_months(found[name], f"{at}/{name}", faults)
    if data.get("outside") is None:
        faults.append(Fault(f"{at}/outside", "Twelve months of outside air are needed.", "required"))
    if (data.get("inside") is None) == (data.get("humidity_class") is None):
        both = "not both" if data.get("inside") is not None else "one of the two"
        faults.append(Fault(f"{at}/humidity_class", f"Give a humidity class or twelve months of inside air, {both}.", "required"))
    if data.get("inside") is not None and data.get("inside_temperature_c") is not None:
        text = "Goes with a humidity class; inside air has temperatures of its own."
        faults.append(Fault(f"{at}/inside_temperature_c", text, "not_with_inside"))
    kept = {name: value for name, value in found.items() if value is not None}
    if len(faults) == before:
        _tried(kept, at, faults)
    return kept


def _read_months(months: list[Any], at: str, faults: list[Fault]) -> list[Any]:
    if len(months) != MONTHS:
        faults.append(Fault(at, f"A climate has twelve months, January first, not {len(months)}.", "not_twelve_months"))
    read = []
    for i, month in enumerate(months):
        if not isinstance(month, Mapping):
            faults.append(Fault(f"{at}/{i}", "Must be an object.", "wrong_type"))
            continue
        refuse_unknown(month, AIR, f"{at}/{i}", faults)
        read.append({name: read_member(month, name, {"rule": rule}, f"{at}/{i}", faults) for name, rule in AIR.items()})
    return read


def _tried(kept: Json, at: str, faults: list[Fault]) -> None:
    """Whether the inside air can be had from the humidity class."""
    try:
        engine_climate(kept)
    except Refused as refusal:
        for fault in refusal.faults:
            faults.append(Fault(f"{at}/{fault.where[0]}", f"{fault.detail[0].upper()}{fault.detail[1:]}.", fault.code))


def engine_climate(kept: Json) -> Climate:
    """From members that `read_climate` kept."""
    outside = tuple(_air(month) for month in kept["outside"])
    if kept.get("inside") is not None:
        return Climate(outside, tuple(_air(month) for month in kept["inside"]))
    temperature = kept.get("inside_temperature_c", INSIDE_TEMPERATURE_C)
    return Climate(outside, inside_by_class(outside, int(kept["humidity_class"]), float(temperature)))


def _air(month: Json) -> Air:
    return Air(float(month["temperature_c"]), float(month["humidity_percent"]))
