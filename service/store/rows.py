"""Finding versioned rows. Every look-up names the account: what is another's is not there."""

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Select, bindparam, func, null, select
from sqlalchemy.orm import Session

from service.errors import BoundReached, Gone, Missing
from service.store.kinds import KINDS, ROOTS, SURVEY_KINDS
from service.store.ledger import Ledger
from service.store.models import Overwritten, Project, Specification, SweptId, Versioned
from service.vocabulary import ResourceKind

BATCH = 500
"""Ids in one statement; SQLite and the planner both have limits."""


def find(session: Session, kind: ResourceKind, id: UUID) -> Versioned | None:
    """Whatever is under this id, another account's and tombstones included: for deciding what to say, not for showing."""
    return session.get(KINDS[kind].model, id, populate_existing=True)


def kept(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> Versioned:
    """The row, which may be a tombstone.

    Raises:
        Missing: no such id in this account.
        Gone: it was deleted so long ago that nothing of it is left.
    """
    row = find(session, kind, id)
    if row is None and any(was.account_id == account_id and was.kind == kind for was in swept(session, [id])):
        raise Gone(f"This {KINDS[kind].name} was deleted.")
    if row is None or row.account_id != account_id:
        raise Missing(f"There is no {KINDS[kind].name} with this id.")
    return row


def live(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> Versioned:
    """The row.

    Raises:
        Missing: no such id in this account.
        Gone: it was deleted.
    """
    return _alive(kept(session, account_id, kind, id))


def _alive(row: Versioned) -> Versioned:
    if row.deleted_at is not None:
        raise Gone(f"This {KINDS[row.resource_kind].name} was deleted.")
    return row


def under_lock(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> tuple[Versioned, Ledger]:
    """The row, and the ledger of its root, locked: so the row stays as it is until the transaction ends.

    Raises:
        Missing, Gone: as `live`.
    """
    if kind in ROOTS and (own := Ledger.sought(session, ROOTS[kind], account_id, id)) is not None:
        return _alive(own.root), own
    row = live(session, account_id, kind, id)  # of a root that was not found this says why
    ledger = ledger_of(session, kind, row)
    return live(session, account_id, kind, id), ledger


def ledger_of(session: Session, kind: ResourceKind, row: Versioned) -> Ledger:
    """The locked ledger of the row's root. Read the row again afterwards: it may have changed while the lock was waited for."""
    shape = KINDS[kind]
    if shape.root is None or shape.root_id is None:
        return Ledger.locked(session, ROOTS[kind], row.id)
    return Ledger.locked(session, ROOTS[shape.root], getattr(row, shape.root_id))


def last_position(session: Session, kind: ResourceKind, parent_id: UUID, without: UUID) -> float | None:
    """The greatest position among the live children of a parent but one; None where there are no others."""
    others = _siblings(kind, counted=False).where(KINDS[kind].model.__table__.c.id != without)
    position: float | None = session.scalar(others, {"parent": parent_id})
    return position


def room_for_one_more(session: Session, kind: ResourceKind, parent_id: UUID) -> float | None:
    """The greatest position among the live children of a parent whose root is locked, and which may have another one; None where
    there are none, or they have no positions.

    Raises:
        BoundReached: there are as many as may be; `extra["most"]` says how many.
    """
    most = session.info["most_children"].get(kind)
    shape = KINDS[kind]
    if most is None and not shape.by_position:
        return None
    last, count = session.execute(_siblings(kind, counted=most is not None), {"parent": parent_id}).one()
    if most is not None and count >= most:
        parent = KINDS[shape.parent].name if shape.parent else "account"
        raise BoundReached(f"A {parent} has at most {most} {shape.name}s, and this one has them.", most=most)
    return cast(float | None, last)


@cache
def _siblings(kind: ResourceKind, *, counted: bool) -> Select[Any]:
    """The last position and the number of the live children beneath a parent. Counting reads them all, the last does not."""
    shape = KINDS[kind]
    columns = shape.model.__table__.c
    last = func.max(columns.position) if shape.by_position else null()
    beneath_it = columns[shape.parent_id or ""] == bindparam("parent")
    return select(last, func.count() if counted else null()).where(beneath_it, columns.deleted_at.is_(None))


def holder_of(session: Session, kind: ResourceKind, scope: UUID, value: Any, without: UUID | None) -> UUID | None:
    """Which other live row has this value in the member that is unique: in an account, or beneath a parent."""
    shape = KINDS[kind]
    model: Any = shape.model
    within = model.account_id if shape.parent_id is None else getattr(model, shape.parent_id)
    query = select(model.id).where(within == scope, getattr(model, shape.unique or "") == value, model.deleted_at.is_(None))
    return session.scalar(query if without is None else query.where(model.id != without))


def children(session: Session, kind: ResourceKind, ids: Iterable[UUID]) -> Iterator[Versioned]:
    """The live direct children of these rows, kind by kind, in order."""
    parents = list(ids)
    for child in KINDS[kind].children:
        shape = KINDS[child]
        model: Any = shape.model
        parent = getattr(model, shape.parent_id or "")
        order = (model.position if shape.by_position else model.created_at, model.id)
        for batch in batches(parents):
            query = select(model).where(parent.in_(batch), model.deleted_at.is_(None)).order_by(*order)
            yield from session.scalars(query.execution_options(populate_existing=True))


def beneath(session: Session, kind: ResourceKind, ids: Iterable[UUID]) -> Iterator[Versioned]:
    """All live rows beneath these rows, at any depth, level by level."""
    below: dict[ResourceKind, list[UUID]] = {}
    for row in children(session, kind, ids):
        below.setdefault(row.resource_kind, []).append(row.id)
        yield row
    for child, child_ids in below.items():
        yield from beneath(session, child, child_ids)


def past_of(session: Session, row: Versioned, after: int) -> dict[int, dict[str, tuple[Any, int]]]:
    """What the writes of a survey's row after a number wrote over: each field's value before, and the number that wrote that."""
    query = select(Overwritten.number, Overwritten.fields).where(
        Overwritten.project_id == getattr(row, "project_id", row.id), Overwritten.row_id == row.id, Overwritten.number > after
    )
    return {number: {name: (value, by) for name, (value, by) in fields.items()} for number, fields in session.execute(query)}


def users_of(session: Session, kind: ResourceKind, row: Versioned) -> list[tuple[ResourceKind, UUID]]:
    """The live projects that are taken off with this specification or catalogue; the live specifications whose build-up names
    this material."""
    if kind is ResourceKind.MATERIAL:
        query = select(Specification.id, Specification.build_up).where(
            Specification.account_id == row.account_id, Specification.deleted_at.is_(None), Specification.build_up.is_not(None)
        )
        name = str(row.id)
        naming = (
            id
            for id, build_up in session.execute(query.order_by(Specification.id))
            if any(str(layer.get("material_id")).lower() == name for layer in build_up or ())
        )
        return [(ResourceKind.SPECIFICATION, id) for id in naming]
    column = {ResourceKind.SPECIFICATION: Project.specification_id, ResourceKind.CATALOGUE: Project.catalogue_id}.get(kind)
    if column is None:
        return []
    projects = session.scalars(select(Project.id).where(column == row.id, Project.deleted_at.is_(None)).order_by(Project.id))
    return [(ResourceKind.PROJECT, id) for id in projects]


def may_be_used(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> bool:
    """Whether a live row of this account is under the id; it cannot be deleted before this transaction ends."""
    model = KINDS[kind].model
    query = select(model.id).where(model.id == id, model.account_id == account_id, model.deleted_at.is_(None))
    return session.scalar(query.with_for_update(read=True)) is not None


def survey_owners(session: Session, ids: Iterable[UUID]) -> dict[UUID, list[Versioned]]:
    """For each of these ids what it stands for in any survey of any account, tombstones included."""
    wanted = list(ids)
    found: dict[UUID, list[Versioned]] = {}
    for kind in SURVEY_KINDS:
        model = KINDS[kind].model
        for batch in batches(wanted):
            for row in session.scalars(select(model).where(model.id.in_(batch))):
                found.setdefault(row.id, []).append(row)
    return found


def swept(session: Session, ids: Iterable[UUID]) -> list[SweptId]:
    """Those of these ids that belonged to rows which were swept away, in any account."""
    found: list[SweptId] = []
    for batch in batches(list(ids)):
        found += session.scalars(select(SweptId).where(SweptId.id.in_(batch)))
    return found


def batches(ids: list[UUID]) -> Iterator[list[UUID]]:
    for start in range(0, len(ids), BATCH):
        yield ids[start : start + BATCH]
