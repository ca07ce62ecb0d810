"""An offcut's members: its component says which sizes it has; who holds it and what it is left of is told and never taken."""

from collections.abc import Mapping
from typing import Any

from service.errors import Conflict, Fault
from service.store.models import Offcut, Versioned
from service.store.rules import Number, plain_number
from service.usecases.checking import read_member, refuse_unknown
from service.usecases.item_members import SIZES_NEEDED
from service.vocabulary import OffcutState

_COLUMNS = Offcut.fields()


def read_offcut(data: Mapping[str, Any], at: str, faults: list[Fault]) -> dict[str, Any]:
    """Bars have a length; sheets and rolls a width and a length. Of nothing else are there offcuts."""
    refuse_unknown(data, _COLUMNS, at, faults)
    values = {name: read_member(data, name, column.info, at, faults) for name, column in _COLUMNS.items()}
    component = values["component"]
    sizes = SIZES_NEEDED.get(component)
    if component is None:
        return values
    if sizes is None:
        cut = ", ".join(SIZES_NEEDED)
        faults.append(Fault(f"{at}/component", f"Pieces are cut from these only: {cut}.", "not_in_list"))
    elif "width_mm" not in sizes and values["width_mm"] is not None:
        faults.append(Fault(f"{at}/width_mm", f"A {component} is a bar and has no width.", "out_of_range"))
    elif "width_mm" in sizes and data.get("width_mm") is None:
        faults.append(Fault(f"{at}/width_mm", f"A {component} needs it: pieces are cut from it.", "required"))
    return values


def show_offcut(values: Mapping[str, Any]) -> dict[str, Any]:
    return {
        **given_offcut(values),
        "state": (OffcutState.AVAILABLE if values["takeoff_id"] is None else OffcutState.RESERVED).value,
        "takeoff_id": values["takeoff_id"],
        "from_takeoff_id": values["from_takeoff_id"],
    }


def given_offcut(values: Mapping[str, Any]) -> dict[str, Any]:
    """What callers set."""
    shown = {}
    for name, column in _COLUMNS.items():
        value = values[name]
        shown[name] = plain_number(value) if value is not None and isinstance(column.info["rule"], Number) else value
    return shown


def refuse_reserved(row: Versioned) -> None:
    """Raises Conflict for an offcut that a takeoff holds: `extra["takeoff_id"]` is that takeoff."""
    if isinstance(row, Offcut) and row.takeoff_id is not None:
        raise Conflict(
            "This offcut is reserved: the takeoff that holds it is cut from it as it is.", takeoff_id=str(row.takeoff_id)
        )
