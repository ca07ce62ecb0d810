"""Lists stored resources of one kind, a page at a time."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import select, tuple_
from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.members import record_from, shown_columns
from service.usecases.plain_records import PLAIN
from service.usecases.records import Page, Place, Record
from service.vocabulary import ResourceKind

FILTERS: dict[ResourceKind, frozenset[str]] = {
    ResourceKind.PROJECT: frozenset({"reference"}),
    ResourceKind.CATALOGUE_ITEM: frozenset({"sku", "component"}),
    ResourceKind.OFFCUT: frozenset({"component", "state"}),
}


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
    catalogue of items. `filters`: `reference` for projects; `sku` and `component` for items; `component` and
    `state` for offcuts.

    Raises:
        Missing, Gone: the parent.
        ValueError: `after` is no place in this list, or a filter that the kind does not have.
    """
    with database.read() as session:
        query, model, record = _query(session, account_id, kind, parent_id)
        for name, value in (filters or {}).items():
            if name not in FILTERS.get(kind, frozenset()):
                raise ValueError(f"a list of {kind}s has no filter {name}")
            query = query.where(getattr(model, name) == value)
        by_position = kind in KINDS and KINDS[kind].by_position
        key = model.position if by_position else model.created_at
        if after is not None:
            query = query.where(tuple_(key, model.id) > tuple_(*_bounds(after, by_position)))
        found = session.execute(query.order_by(key, model.id).limit(limit + 1)).all()
        records = tuple(record(row) for row in found[:limit])
        return Page(records, _place(records[-1], by_position) if len(found) > limit else None)


def _query(
    session: Session, account_id: UUID, kind: ResourceKind, parent_id: UUID | None
) -> tuple[Any, Any, Callable[..., Record]]:
    """Every row of the list, the model of what it is sorted by, and the way from a row to a record."""
    if kind in KINDS:
        shape = KINDS[kind]
        model: Any = shape.model
        query = select(*shown_columns(kind)).where(model.account_id == account_id, model.deleted_at.is_(None))
        if shape.parent is not None:
            if parent_id is None:
                raise ValueError(f"{kind}s are listed beneath a {shape.parent}")
            rows.live(session, account_id, shape.parent, parent_id)
            query = query.where(getattr(model, shape.parent_id or "") == parent_id)
        return query, model, lambda row: record_from(kind, row._mapping)
    query, model, plain_record, account = PLAIN[kind]
    query = query.where(account == account_id)
    if parent_id is not None:
        rows.live(session, account_id, ResourceKind.PROJECT, parent_id)
        query = query.where(model.project_id == parent_id)
    return query, model, lambda row: plain_record(*row)


def _place(record: Record, by_position: bool) -> Place:
    return record.data["position" if by_position else "created_at"], str(record.id)


def _bounds(after: Place, by_position: bool) -> tuple[Any, UUID]:
    """Raises ValueError for what `_place` did not make."""
    key, id = after
    if by_position:
        if isinstance(key, str):
            raise ValueError("a position is a number")
        return float(key), UUID(id)
    if not isinstance(key, str):
        raise ValueError("a time is text")
    moment = datetime.fromisoformat(key)
    if moment.tzinfo is None:
        raise ValueError("a time has its zone")
    return moment, UUID(id)
