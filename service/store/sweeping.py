"""Takes away for good what devices that work offline need no more: tombstones, values written over, results of mutations.

The one way by which a row leaves its table. What stays of it is its id, which nothing else may ever have, and on the project how
far it was swept: whoever has not read past that number must read the project anew.
"""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import and_, delete, exists, func, insert, literal, select, union, update
from sqlalchemy.orm import Session

from service.store.kinds import KINDS, SURVEY_KINDS
from service.store.models import MutationResult, Overwritten, Project, SweptId
from service.vocabulary import ResourceKind

CHILDREN_FIRST = tuple(reversed(SURVEY_KINDS[1:]))
PAST: tuple[tuple[Any, Any], ...] = ((Overwritten, Overwritten.written_at), (MutationResult, MutationResult.made_at))


def projects_to_sweep(session: Session, before: datetime, most: int) -> list[UUID]:
    """Projects that have anything from before that time, in the order of ids."""
    tombstones: list[Any] = [KINDS[kind].model for kind in CHILDREN_FIRST]
    ages = [*PAST, *((model, model.deleted_at) for model in tombstones)]
    old = union(*(select(model.project_id).where(when < before) for model, when in ages)).subquery()
    return list(session.scalars(select(old.c.project_id).order_by(old.c.project_id).limit(most)))


def sweep_project(session: Session, project_id: UUID, before: datetime) -> int:
    """How many rows went. The project's row is locked. A tombstone goes only when nothing is left beneath it."""
    projects: Any = Project.__table__
    gone = 0
    for kind in CHILDREN_FIRST:
        rows: Any = KINDS[kind].model.__table__
        ended = and_(rows.c.project_id == project_id, rows.c.deleted_at < before, *_childless(kind, rows))
        count, greatest = session.execute(select(func.count(), func.max(rows.c.version)).where(ended)).one()
        if not count:
            continue
        ids = select(rows.c.id, rows.c.project_id, rows.c.account_id, literal(kind.value), rows.c.version).where(ended)
        session.execute(insert(SweptId.__table__).from_select(["id", "project_id", "account_id", "kind", "version"], ids))
        session.execute(delete(rows).where(ended))
        less = and_(projects.c.id == project_id, projects.c.swept_version < greatest)
        session.execute(update(projects).where(less).values(swept_version=greatest))
        gone += count
    for model, when in PAST:
        old = and_(model.project_id == project_id, when < before)
        gone += session.scalar(select(func.count()).select_from(model).where(old)) or 0
        session.execute(delete(model).where(old).execution_options(synchronize_session=False))
    return gone


def _childless(kind: ResourceKind, rows: Any) -> list[Any]:
    children: list[Any] = [(KINDS[child].model.__table__, KINDS[child].parent_id) for child in KINDS[kind].children]
    return [~exists().where(table.c[parent_id] == rows.c.id) for table, parent_id in children]
