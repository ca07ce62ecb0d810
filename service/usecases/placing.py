"""Where a row that comes under an id of the caller's belongs."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.errors import Conflict, Fault, Gone, Invalid, Missing
from service.store import rows
from service.store.kinds import KINDS, SURVEY_KINDS
from service.store.models import Versioned
from service.store.rules import as_id
from service.usecases.storing import own_members, read_values
from service.vocabulary import ResourceKind


def place_of(session: Session, account_id: UUID, kind: ResourceKind, id: UUID, data: Mapping[str, Any]) -> Versioned | None:
    """The live parent that `data` names for a new row; None for a kind that has no parent.

    Raises:
        Invalid: the parent cannot be had; with all other faults in `data`.
        Gone: what had the id was deleted long ago.
        Missing, Conflict: the id is taken by something of another account, or of another kind.
    """
    _refuse_used_id(session, account_id, kind, id)
    faults: list[Fault] = []
    parent = _named_parent(session, account_id, kind, data, faults)
    if faults:
        unplaced = {"position": 0} if KINDS[kind].by_position else {}
        read_values(session, account_id, kind, {**unplaced, **own_members(kind, data)}, None, faults)
        raise Invalid(faults)
    return parent


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
    elif parent is None and any(was.account_id == account_id for was in rows.swept(session, [parent_id])):
        faults.append(Fault(pointer, f"This {parent_name} was deleted.", "deleted_id"))
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
    owners = rows.survey_owners(session, [id]).get(id, ())
    others = [(owner.resource_kind, owner.account_id) for owner in owners if owner.resource_kind is not kind]
    for owner_kind, owner_account_id in [*others, *((was.kind, was.account_id) for was in rows.swept(session, [id]))]:
        if owner_account_id != account_id:
            raise Missing(f"There is no {KINDS[kind].name} with this id.")
        if owner_kind == kind:
            raise Gone(f"This {KINDS[kind].name} was deleted.")
        raise Conflict(f"This id is that of a {KINDS[ResourceKind(owner_kind)].name}.", used_by=str(owner_kind))
