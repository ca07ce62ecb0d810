"""Makes a resource under a new id."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.members import record_of
from service.usecases.records import Record
from service.usecases.storing import make
from service.vocabulary import ResourceKind


def create_resource(
    database: Database, account_id: UUID, kind: ResourceKind, data: Mapping[str, Any], *, parent_id: UUID | None = None
) -> Record:
    """Stores `data` under a new UUIDv7. A project's data may hold a `survey`, stored in the same transaction.

    Raises:
        Invalid: every fault in `data`, pointers into it (`#/length_mm`, `#/survey/rooms/0/walls/2/length_mm`).
        Missing, Gone: the parent.
        Conflict: a reference or sku that is taken; `extra` has `id`, the one that has it.
        BoundReached: the parent has as many children of this kind as may be.
    """
    return database.transact(_create, account_id, kind, data, parent_id)


def _create(session: Session, account_id: UUID, kind: ResourceKind, data: Mapping[str, Any], parent_id: UUID | None) -> Record:
    shape = KINDS[kind]
    beneath = None
    if shape.parent is not None:
        if parent_id is None:
            raise ValueError(f"a {kind} is made beneath a {shape.parent}")
        beneath = rows.under_lock(session, account_id, shape.parent, parent_id)
    return record_of(make(session, account_id, kind, data, beneath))
