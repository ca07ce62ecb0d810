"""Lining specifications, made from the engine's own table of parameters: name, range, default, provenance and meaning."""

from dataclasses import replace
from functools import partial
from typing import Any

import marshmallow as ma

from service.api.fields import Between, Flag, Int, Length, Num, Part, Str, Word
from service.api.schemas.build_ups import BUILD_UP, CRITICAL_FACTOR, TARGET
from service.api.schemas.family import ABSENT, Answer, Member, Members, Request, answered, family
from service.engine.parameters import NUMBERS, PARAMETER_FIELDS
from service.vocabulary import ROLE_COMPONENTS, Component, Role

_MARKS = {
    "CP": "common practice, no published source",
    "D": "a decision of this project",
    "MEM": "from memory",
}
_UNITS = {"_mm": "mm", "_mm2": "mm²", "_ml": "ml", "_m2_per_kg": "m²/kg", "_kg": "kg", "_w_mk": "W/(m·K)", "_level": "a level"}
_name = Member(make=partial(Str, validate=Length(1, 200)), text="What people call it.", nullable=True, default=None)


def _parameter(name: str) -> Member:
    f = PARAMETER_FIELDS[name]
    text = f.metadata["text"][0].upper() + f.metadata["text"][1:]
    where = "; ".join(_MARKS.get(part, part) for part in f.metadata["mark"].split(", "))
    if name not in NUMBERS:
        return Member(make=Flag, text=f"{text} ({where}).", default=f.default)
    least, most = f.metadata["least"], f.metadata["most"]
    unit = next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "a count")
    kind = Int if f.type in (int, "int") else Num
    return Member(
        make=partial(kind, validate=Between(least, most)),
        text=f"{text} ({unit}, {least:g} to {most:g}; {where}).",
        default=f.default,
    )


HEAT: Members = {"build_up": BUILD_UP, "target_u_value_w_m2k": TARGET, "critical_temperature_factor": CRITICAL_FACTOR}
PARAMETERS: Members = {name: _parameter(name) for name in PARAMETER_FIELDS}


def _role_fields(**kwargs: Any) -> dict[str, ma.fields.Field[Any]]:
    return {
        role.value: Word(
            Component,
            metadata={"description": f"What {role.value} members are cut from; {ROLE_COMPONENTS[role].value} unless changed."},
            **kwargs,
        )
        for role in Role
    }


RoleComponents = type(
    "RoleComponents", (Request,), {"__doc__": "Role → component, where it is not the usual one.", **_role_fields()}
)
RoleComponentsPatch = type(
    "RoleComponentsPatch",
    (Request,),
    {"__doc__": "Roles to change; null puts one back to its usual component.", **_role_fields(allow_none=True)},
)
RoleComponentsRead = type(
    "RoleComponentsRead",
    (Answer,),
    {
        "__doc__": "What each role is cut from.",
        **{role.value: answered(partial(Word, Component), f"What {role.value} members are cut from.") for role in Role},
    },
)


def _components_field(**kwargs: Any) -> ma.fields.Field[Any]:
    """The right shape of `components` for each of a specification's own shapes."""
    if kwargs.get("dump_only"):
        return Part(RoleComponentsRead, **kwargs)
    return Part(RoleComponentsPatch if kwargs.get("allow_none") else RoleComponents, **kwargs)


_components = Member(make=_components_field, text="Role → component.", default={})

Specification = family(
    "Specification",
    "A lining specification: parameters of setting out, each with its default",
    {"name": _name, **PARAMETERS, "components": _components, **HEAT},
)


SpecificationChanges = type(
    "SpecificationChanges",
    (Request,),
    {
        "__doc__": "What differs from the specification in this one takeoff.",
        # No defaults here: what is left out is the specification's, whatever that is.
        **{
            key: replace(member, default=ABSENT).field()
            for key, member in {**PARAMETERS, "components": _components, **HEAT}.items()
        },
    },
)
