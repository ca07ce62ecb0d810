"""Lists materials: the account's own by time made, then those that every account can use, in their order."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.list_resources import list_resources
from service.usecases.material_members import STANDARD_RECORDS
from service.usecases.records import Page, Place, Record
from service.vocabulary import ResourceKind


def list_materials(
    database: Database,
    account_id: UUID,
    *,
    filters: Mapping[str, Any] | None = None,
    limit: int = 50,
    after: Place | None = None,
) -> Page:
    """One page. `filters`: `standard` True for the standard ones only, False for the account's own only.

    Raises:
        ValueError: `after` is no place in this list.
    """
    wanted = (filters or {}).get("standard")
    standard = () if wanted is False else tuple(STANDARD_RECORDS.values())
    begin = 0
    own: tuple[Record, ...] = ()
    if after is not None and not isinstance(after[0], str):
        begin = int(after[0]) + 1
        if not 0 < begin <= len(standard) or str(standard[begin - 1].id) != after[1]:
            raise ValueError("no place among the standard materials")
    elif wanted is not True:
        page = list_resources(database, account_id, ResourceKind.MATERIAL, limit=limit, after=after)
        if page.next_after is not None:
            return page
        own = page.items
        if len(own) == limit and standard:
            return Page(own, (own[-1].data["created_at"], str(own[-1].id)))
    elif after is not None:
        raise ValueError("no place among the standard materials")
    end = begin + limit - len(own)
    more = end < len(standard)
    return Page((*own, *standard[begin:end]), (end - 1, str(standard[end - 1].id)) if more else None)
