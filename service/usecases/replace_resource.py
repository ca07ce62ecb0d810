"""Puts a resource under an id that the caller chose, or replaces the one that is there."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Precondition, Record
from service.vocabulary import ResourceKind


def replace_resource(
    database: Database, account_id: UUID, kind: ResourceKind, id: UUID, data: Mapping[str, Any], precondition: Precondition
) -> tuple[Record, bool]:
    """Members left out go back to their defaults; the second value is True where the resource was made.

    `data` names the parent (`project_id`, `room_id`, `wall_id`, `catalogue_id`). A project's data may hold a `survey`: then the
    version to match is the survey's, which covers the project's own members too. A request that changes nothing succeeds
    whatever its precondition.

    Raises:
        Invalid: every fault in `data`, an unknown or foreign parent included.
        Missing: the id is another account's.
        Gone: it was deleted.
        Conflict: another parent than before; an id that something of another kind has; a reference or sku that is taken.
        PreconditionRequired, PreconditionFailed: see `Precondition`.
    """
    raise NotImplementedError
