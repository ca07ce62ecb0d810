"""Lists stored resources of one kind, a page at a time."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Page, Place
from service.vocabulary import ResourceKind


def list_resources(
    database: Database,
    account_id: UUID,
    kind: ResourceKind,
    *,
    parent_id: UUID | None = None,
    filters: Mapping[str, Any] | None = None,
    limit: int = 50,
    after: Place | None = None,
) -> Page:
    """One page: rooms, walls, openings and features by position, then id; everything else by time made, then id.

    `parent_id`: the project of rooms (and, where wanted, of takeoffs), the room of walls, the wall of openings and features, the
    catalogue of items. `filters`: `reference` for projects; `sku` and `component` for items.

    Raises:
        Missing, Gone: the parent.
        ValueError: `after` is no place in this list.
    """
    raise NotImplementedError
