"""Deletes a resource; its id stays deleted."""

from uuid import UUID

from service.store.database import Database
from service.usecases.records import Precondition
from service.vocabulary import ResourceKind


def delete_resource(
    database: Database,
    account_id: UUID,
    kind: ResourceKind,
    id: UUID,
    precondition: Precondition,
    *,
    with_children: bool = False,
) -> None:
    """Deletes it and, of a project or catalogue always and of a room or wall on request, all beneath it. Deleting what is deleted
    succeeds whatever the precondition.

    Raises:
        Missing: no such id in this account.
        Conflict: a room or wall that has children, or a specification or catalogue that a project uses; `extra["children"]` or
            `extra["used_by"]` lists them, each with `type` and `id`.
        PreconditionRequired, PreconditionFailed: see `Precondition`.
    """
    raise NotImplementedError
