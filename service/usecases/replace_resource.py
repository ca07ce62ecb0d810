"""Puts a resource under an id that the caller chose, or replaces the one that is there."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.errors import Conflict, Fault, Invalid, Missing
from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS, SURVEY_KINDS
from service.store.models import Versioned
from service.store.rules import as_id
from service.usecases.material_members import refuse_standard
from service.usecases.members import record_of, values_of
from service.usecases.records import Precondition, Record
from service.usecases.storing import change, make, own_members, read_values
from service.vocabulary import ResourceKind


def replace_resource(
    database: Database, account_id: UUID, kind: ResourceKind, id: UUID, data: Mapping[str, Any], precondition: Precondition
) -> tuple[Record, bool]:
    """Members left out go back to their defaults; the second value is True where the resource was made.

    A `position` left out stays as it is. `data` names the parent (`project_id`, `room_id`, `wall_id`, `catalogue_id`). A
    project's data may hold a `survey`: then the version to match is the survey's, which covers the project's own members too. A
    request that changes nothing succeeds whatever its precondition.

    Raises:
        Invalid: every fault in `data`, an unknown or foreign parent included.
        Missing: the id is another account's.
        Gone: it was deleted.
        Conflict: another parent than before; an id that something of another kind has; a reference or sku that is taken; as
            many children of this kind beneath the parent as may be (BoundReached).
        PreconditionRequired, PreconditionFailed: see `Precondition`.
    """
    refuse_standard(kind, id)
    return database.transact(_replace, account_id, kind, id, data, precondition)


def _replace(
    session: Session, account_id: UUID, kind: ResourceKind, id: UUID, data: Mapping[str, Any], precondition: Precondition
) -> tuple[Record, bool]:
    there = rows.find(session, kind, id)
    if there is None:
        _refuse_used_id(session, account_id, kind, id)
        faults: list[Fault] = []
        parent = _named_parent(session, account_id, kind, data, faults)
        if faults:
            unplaced = {"position": 0} if KINDS[kind].by_position else {}
            read_values(session, account_id, kind, {**unplaced, **own_members(kind, data)}, None, faults)
            raise Invalid(faults)
        precondition.allow_creation()
        return record_of(make(session, account_id, kind, data, parent, id)), True
    row = rows.live(session, account_id, kind, id)
    refuse_another_parent(row, data)
    ledger = rows.ledger_of(session, kind, row)
    row = rows.live(session, account_id, kind, id)
    members = own_members(kind, data)
    if KINDS[kind].by_position and members.get("position") is None:
        members["position"] = values_of(row)["position"]
    survey = data.get("survey") if kind is ResourceKind.PROJECT else None
    change(session, account_id, ledger, row, members, survey, precondition)
    return record_of(row), False


def refuse_another_parent(row: Versioned, data: Mapping[str, Any]) -> None:
    """Raises Conflict where a parent is named that is not the row's."""
    name = KINDS[row.resource_kind].parent_id
    if name is not None and data.get(name) is not None and as_id(data[name]) != getattr(row, name):
        raise Conflict(f"A {KINDS[row.resource_kind].name} keeps its {name}.", **{name: str(getattr(row, name))})


def _named_parent(
    session: Session, account_id: UUID, kind: ResourceKind, data: Mapping[str, Any], faults: list[Fault]
) -> Versioned | None:
    """The parent that a new row's data names; None for a kind that has no parent, and with a fault where it cannot be had."""
    shape = KINDS[kind]
    if shape.parent is None or shape.parent_id is None:
        return None
    pointer, value = f"#/{shape.parent_id}", data.get(shape.parent_id)
    parent_name = KINDS[shape.parent].name
    parent_id = as_id(value)
    parent = None if parent_id is None else rows.find(session, shape.parent, parent_id)
    if value is None:
        faults.append(Fault(pointer, "This member is required.", "required"))
    elif parent_id is None:
        faults.append(Fault(pointer, "Must be a UUID.", "wrong_type"))
    elif parent is None or parent.account_id != account_id:
        faults.append(Fault(pointer, f"There is no {parent_name} with this id.", "unknown_id"))
    elif parent.deleted_at is not None:
        faults.append(Fault(pointer, f"This {parent_name} was deleted.", "deleted_id"))
    else:
        return parent
    return None


def _refuse_used_id(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> None:
    """An id stands for one thing in a survey, whatever its kind. One of this very kind was made since it was looked for: making
    it again fails on its key, and the whole is run again and finds it.
    """
    if kind not in SURVEY_KINDS:
        return
    for owner in rows.survey_owners(session, [id]).get(id, ()):
        if owner.resource_kind is kind:
            continue
        if owner.account_id != account_id:
            raise Missing(f"There is no {KINDS[kind].name} with this id.")
        raise Conflict(f"This id is that of a {KINDS[owner.resource_kind].name}.", used_by=str(owner.resource_kind))
