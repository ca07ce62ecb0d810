"""Puts a resource under an id that the caller chose, or replaces the one that is there."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.usecases.material_members import refuse_standard
from service.usecases.members import record_of
from service.usecases.placing import place_of, refuse_another_parent
from service.usecases.records import Precondition, Record
from service.usecases.storing import change, make, members_put
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
        place = place_of(session, account_id, kind, id, data)
        precondition.allow_creation()
        beneath = None if place is None else rows.under_lock(session, account_id, place.resource_kind, place.id)
        return record_of(make(session, account_id, kind, data, beneath, id)), True
    row, ledger = rows.under_lock(session, account_id, kind, id)
    refuse_another_parent(row, data)
    members = members_put(row, data)
    survey = data.get("survey") if kind is ResourceKind.PROJECT else None
    change(session, account_id, ledger, row, members, survey, precondition)
    return record_of(row), False
