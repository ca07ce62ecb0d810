"""A lining specification's members: flat parameters in JSON; in the table only those that were set."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from service.engine.parameters import NUMBERS, PARAMETER_FIELDS, InvalidParameters, Parameters
from service.errors import Fault
from service.store.models import Specification
from service.store.rules import Flag, Number, Word
from service.usecases.build_up_members import read_build_up
from service.usecases.checking import read_member, refuse_unknown
from service.vocabulary import ROLE_COMPONENTS, Component, Role

_COLUMNS = Specification.fields()
_RULES: dict[str, Number | Flag] = {
    name: Number(field.metadata["least"], field.metadata["most"], whole=field.type in (int, "int")) if name in NUMBERS else Flag()
    for name, field in PARAMETER_FIELDS.items()
}


def read_specification(data: Mapping[str, Any], at: str, faults: list[Fault]) -> dict[str, Any]:
    """Checks every member and, where each by itself is right, whether the parameters can go together. What a build-up comes to is
    for whoever can look up its materials: `build_up_layers`."""
    refuse_unknown(data, [*_COLUMNS, *PARAMETER_FIELDS, "components"], at, faults)
    before = len(faults)
    values = {
        name: read_build_up(data.get(name), f"{at}/{name}", faults)
        if name == "build_up"
        else read_member(data, name, column.info, at, faults)
        for name, column in _COLUMNS.items()
    }
    parameters = {
        name: read_member(data, name, {"rule": rule}, at, faults) for name, rule in _RULES.items() if data.get(name) is not None
    }
    if len(faults) == before:
        try:
            Parameters(**parameters)
        except InvalidParameters as wrong:
            faults.extend(Fault(f"{at}/{fault.name}", f"{fault.name} {fault.detail}.", "out_of_range") for fault in wrong.faults)
    return {
        **values,
        "parameters": parameters,
        "components": _read_components(data.get("components"), f"{at}/components", faults),
    }


def _read_components(data: Any, at: str, faults: list[Fault]) -> dict[str, str]:
    if data is None:
        return {}
    if not isinstance(data, Mapping):
        faults.append(Fault(at, "Must be an object: role to component.", "wrong_type"))
        return {}
    roles = [role.value for role in Role]
    refuse_unknown(data, roles, at, faults)
    rule = {"rule": Word(Component)}
    return {role: read_member(data, role, rule, at, faults) for role in roles if data.get(role) is not None}


def given_specification(values: Mapping[str, Any]) -> dict[str, Any]:
    """The members that were set, nothing filled in."""
    own = {name: values[name] for name in _COLUMNS}
    return {"name": own.pop("name"), **values["parameters"], "components": dict(values["components"]), **own}


def show_specification(values: Mapping[str, Any]) -> dict[str, Any]:
    """Every member, parameters and components filled in with the defaults as they are today."""
    resolved = {name: _RULES[name].kept(value) for name, value in asdict(Parameters(**values["parameters"])).items()}
    components = {role.value: values["components"].get(role.value, ROLE_COMPONENTS[role].value) for role in Role}
    return {**given_specification(values), **resolved, "components": components}
