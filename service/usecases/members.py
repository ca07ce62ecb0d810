"""A resource's members between their JSON form and the columns that keep them.

Most kinds keep each member in a column of its own name; specifications, catalogue items and offcuts have a form of their
own. `Form` is
one kind's way there and back; `FORMS` has them all.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement

from service.errors import Fault
from service.store.kinds import KINDS
from service.store.models import Versioned
from service.store.rules import Id, Number, plain_number
from service.usecases.checking import read_member, refuse_unknown
from service.usecases.climate_members import read_climate
from service.usecases.item_members import read_item, show_item
from service.usecases.material_members import given_material, read_material, show_material
from service.usecases.offcut_members import given_offcut, read_offcut, show_offcut
from service.usecases.records import Record, rfc3339
from service.usecases.specification_members import given_specification, read_specification, show_specification
from service.vocabulary import ResourceKind

Values = dict[str, Any]
"""Column name → what it is to keep."""


@dataclass(frozen=True, slots=True)
class Form:
    """`read(data, at, faults)` checks members and gives values, adding a fault for each that is wrong; `show(values)` gives the
    members as they are answered; `given(values)` as they were set, for a merge patch to work on.
    """

    read: Callable[[Mapping[str, Any], str, list[Fault]], Values]
    show: Callable[[Mapping[str, Any]], dict[str, Any]]
    given: Callable[[Mapping[str, Any]], dict[str, Any]]


def record_of(row: Versioned) -> Record:
    """The row as callers see it."""
    return record_from(row.resource_kind, values_of(row))


def record_from(kind: ResourceKind, values: Mapping[str, Any]) -> Record:
    """The same from the values of its `shown_columns`."""
    times = {name: rfc3339(values[name]) for name in ("created_at", "updated_at")}
    return Record(kind, values["id"], values["version"], {**_parent_of(values, kind), **FORMS[kind].show(values), **times})


def shown_columns(kind: ResourceKind) -> list[ColumnElement[Any]]:
    """What a record is made from; long lists read these and no more."""
    hidden = ("account_id", "field_versions", "deleted_at", "change_counter", "swept_version")
    return [column for column in KINDS[kind].model.__table__.columns if column.name not in hidden]


def values_of(row: Versioned) -> Values:
    return {name: getattr(row, name) for name in row.__table__.columns.keys()}  # noqa: SIM118 - columns are not a dict


def _parent_of(values: Mapping[str, Any], kind: ResourceKind) -> dict[str, Any]:
    name = KINDS[kind].parent_id
    return {} if name is None else {name: values[name]}


def _plain_form(kind: ResourceKind) -> Form:
    """Each member is a column, checked by the column's rule."""
    shape = KINDS[kind]
    fields = {name: column for name, column in shape.model.fields().items() if name != shape.parent_id}

    def read(data: Mapping[str, Any], at: str, faults: list[Fault]) -> Values:
        refuse_unknown(data, fields, at, faults)
        return {name: read_member(data, name, column.info, at, faults) for name, column in fields.items()}

    def show(values: Mapping[str, Any]) -> dict[str, Any]:
        return {name: _shown(values[name], column.info["rule"]) for name, column in fields.items()}

    return Form(read, show, show)


def _project_form() -> Form:
    """A climate is more than a column's rule can check."""
    plain = _plain_form(ResourceKind.PROJECT)

    def read(data: Mapping[str, Any], at: str, faults: list[Fault]) -> Values:
        values = plain.read(data, at, faults)
        return {**values, "climate": read_climate(values["climate"], f"{at}/climate", faults)}

    return Form(read, plain.show, plain.given)


def _shown(value: Any, rule: Any) -> Any:
    return plain_number(value) if value is not None and isinstance(rule, Number) else value


def references(kind: ResourceKind) -> dict[str, ResourceKind]:
    """The members of a kind that name another resource, its parent aside."""
    shape = KINDS[kind]
    rules = {name: column.info["rule"] for name, column in shape.model.fields().items() if name != shape.parent_id}
    return {name: rule.kind for name, rule in rules.items() if isinstance(rule, Id)}


_OF_THEIR_OWN = (ResourceKind.SPECIFICATION, ResourceKind.CATALOGUE_ITEM, ResourceKind.OFFCUT, ResourceKind.MATERIAL)

FORMS: dict[ResourceKind, Form] = {
    **{kind: _plain_form(kind) for kind in KINDS if kind not in _OF_THEIR_OWN},
    ResourceKind.PROJECT: _project_form(),
    ResourceKind.SPECIFICATION: Form(read_specification, show_specification, given_specification),
    ResourceKind.CATALOGUE_ITEM: Form(read_item, show_item, show_item),
    ResourceKind.OFFCUT: Form(read_offcut, show_offcut, given_offcut),
    ResourceKind.MATERIAL: Form(read_material, show_material, given_material),
}
