"""Makes a resource under a new id."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Record
from service.vocabulary import ResourceKind


def create_resource(
    database: Database, account_id: UUID, kind: ResourceKind, data: Mapping[str, Any], *, parent_id: UUID | None = None
) -> Record:
    """Stores `data` under a new UUIDv7. A project's data may hold a `survey`, stored in the same transaction.

    Raises:
        Invalid: every fault in `data`, pointers into it (`#/length_mm`, `#/survey/rooms/0/walls/2/length_mm`).
        Missing, Gone: the parent.
        Conflict: a reference or sku that is taken; `extra` has `id`, the one that has it.
    """
    raise NotImplementedError
