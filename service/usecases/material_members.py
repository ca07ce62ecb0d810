"""A material's members, of the account's own and of those that every account can use."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid5

from service.engine.physics.materials import MATERIALS, THIN_LAYERS
from service.engine.physics.materials import Material as Standard
from service.errors import Conflict, Fault
from service.store.models import Material
from service.store.rules import Number, plain_number
from service.usecases.checking import read_member, refuse_unknown
from service.usecases.records import Record
from service.vocabulary import ResourceKind

_COLUMNS = Material.fields()
_NAMESPACE = UUID("2f4c8a60-5d0b-5b7e-9c1a-7e3d6f8a0b12")
"""Of the ids that are made from the codes of standard materials: the same for every account, everywhere and always."""
VERSION = 1


def read_material(data: Mapping[str, Any], at: str, faults: list[Fault]) -> dict[str, Any]:
    """Vapour resistance in one form; and a conductivity, or else an equivalent thickness: then it is a film or a coating."""
    refuse_unknown(data, _COLUMNS, at, faults)
    values = {name: read_member(data, name, column.info, at, faults) for name, column in _COLUMNS.items()}
    if values["sd_m"] is not None and (values["mu_dry"] is not None or values["mu_wet"] is not None):
        faults.append(Fault(f"{at}/sd_m", "Give factors μ or an equivalent thickness, not both.", "both_given"))
    if data.get("conductivity_w_mk") is None and data.get("sd_m") is None:
        text = "A material needs a conductivity; a film or coating an equivalent thickness sd_m instead."
        faults.append(Fault(f"{at}/conductivity_w_mk", text, "required"))
    return values


def given_material(values: Mapping[str, Any]) -> dict[str, Any]:
    shown = {}
    for name, column in _COLUMNS.items():
        value = values[name]
        shown[name] = plain_number(value) if value is not None and isinstance(column.info["rule"], Number) else value
    return shown


def show_material(values: Mapping[str, Any]) -> dict[str, Any]:
    return {**given_material(values), "standard": False, "code": None}


def _standard_records() -> dict[UUID, Record]:
    found = {}
    for one in (*MATERIALS, *THIN_LAYERS):
        values = dict.fromkeys(_COLUMNS) | {"name": one.name, "source": one.source, "certainty": one.certainty.value}
        if isinstance(one, Standard):
            names = ("conductivity_w_mk", "density_kg_m3", "specific_heat_j_kgk", "mu_dry", "mu_wet")
            values |= {name: getattr(one, name) for name in names}
        else:
            values |= {"sd_m": one.sd_m, "thickness_mm": one.thickness_mm}
        values |= {"note": one.note or None, "standard": True, "code": one.id, "created_at": None, "updated_at": None}
        id = uuid5(_NAMESPACE, one.id)
        found[id] = Record(ResourceKind.MATERIAL, id, VERSION, values)
    return found


STANDARD_RECORDS = _standard_records()
"""What every account can use, in the order of the list. Nobody changes them."""


def standard_code(id: UUID) -> str | None:
    """The code of a standard material; None where the id is not of one."""
    record = STANDARD_RECORDS.get(id)
    return None if record is None else record.data["code"]


def refuse_standard(kind: ResourceKind, id: UUID) -> None:
    """Raises Conflict where somebody would write a material that every account uses."""
    if kind is ResourceKind.MATERIAL and id in STANDARD_RECORDS:
        raise Conflict("This is a standard material, which nobody changes: make one of your own.", code=standard_code(id))
