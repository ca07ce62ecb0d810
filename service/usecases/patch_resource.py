"""Changes some members of a resource."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Precondition, Record
from service.vocabulary import ResourceKind


def patch_resource(
    database: Database, account_id: UUID, kind: ResourceKind, id: UUID, merge_patch: Mapping[str, Any], precondition: Precondition
) -> Record:
    """Applies a JSON merge patch (RFC 7396); null puts a member back to its default. One that changes nothing succeeds whatever
    its precondition.

    Raises:
        Invalid: every fault in the patched whole.
        Missing, Gone, Conflict, PreconditionRequired, PreconditionFailed: as `replace_resource`.
    """
    raise NotImplementedError
