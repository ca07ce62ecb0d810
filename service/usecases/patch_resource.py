"""Changes some members of a resource."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.usecases.material_members import refuse_standard
from service.usecases.members import record_of
from service.usecases.placing import refuse_another_parent
from service.usecases.records import Precondition, Record
from service.usecases.storing import change, members_patched
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
    row, ledger = rows.under_lock(session, account_id, kind, id)
    refuse_another_parent(row, merge_patch)
    change(session, account_id, ledger, row, members_patched(session, row, merge_patch), None, precondition)
    return record_of(row)
