"""Changes some members of a resource."""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any
from uuid import UUID

from json_merge_patch import merge
from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.material_members import refuse_standard
from service.usecases.members import FORMS, record_of, values_of
from service.usecases.records import Precondition, Record
from service.usecases.replace_resource import refuse_another_parent
from service.usecases.storing import after_the_last, change
from service.vocabulary import ResourceKind


def patch_resource(
    database: Database, account_id: UUID, kind: ResourceKind, id: UUID, merge_patch: Mapping[str, Any], precondition: Precondition
) -> Record:
    """Applies a JSON merge patch (RFC 7396); null puts a member back to its default, and a position behind all others. One that
    changes nothing succeeds whatever its precondition.

    Raises:
        Invalid: every fault in the patched whole.
        Missing, Gone, Conflict, PreconditionRequired, PreconditionFailed: as `replace_resource`.
    """
    refuse_standard(kind, id)
    return database.transact(_patch, account_id, kind, id, merge_patch, precondition)


def _patch(
    session: Session, account_id: UUID, kind: ResourceKind, id: UUID, merge_patch: Mapping[str, Any], precondition: Precondition
) -> Record:
    row = rows.live(session, account_id, kind, id)
    refuse_another_parent(row, merge_patch)
    ledger = rows.ledger_of(session, kind, row)
    row = rows.live(session, account_id, kind, id)
    shape = KINDS[kind]
    patch = {name: value for name, value in merge_patch.items() if name != shape.parent_id}
    members = merge(deepcopy(FORMS[kind].given(values_of(row))), patch)
    if shape.by_position and members.get("position") is None:
        members["position"] = after_the_last(session, kind, getattr(row, shape.parent_id or ""), without=row.id)
    change(session, account_id, ledger, row, members, None, precondition)
    return record_of(row)
