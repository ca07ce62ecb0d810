"""Tells what has changed in a project: each row once, as it stands, in the order of last writes.

A row that is written moves to the end, so whoever reads on from where they were meets it there. Numbers are given in the order of
commits (`service.store.ledger`): whoever has seen number n has missed nothing below it.
"""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from service.errors import PlaceLost
from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS, SURVEY_KINDS
from service.store.models import Project
from service.usecases.change_records import Change, ChangesPage, FeedPlace
from service.usecases.members import record_from, shown_columns
from service.vocabulary import ResourceKind


def read_changes(database: Database, account_id: UUID, project_id: UUID, after: FeedPlace | None, limit: int) -> ChangesPage:
    """The next `limit` changes after a place; without one, the whole project from its first row on.

    What is read until `has_more` is False is the project as it stood when the last page was read. Before that a child may come
    ahead of its parent.

    Raises:
        Missing, Gone: the project.
        PlaceLost: tombstones after that place have been swept away, or the project has not come that far.
    """
    with database.read() as session:
        project = rows.live(session, account_id, ResourceKind.PROJECT, project_id)
        assert isinstance(project, Project)
        counter = project.change_counter
        place = after or FeedPlace(0, counter)
        if max(place.seen, place.started) < project.swept_version or max(place.seen, place.started) > counter:
            raise PlaceLost("This token is too old or not of this time. Read the project anew, without a token.")
        found = sorted(_written_after(session, project_id, place, limit + 1), key=lambda change: change.version)
        changes, has_more = tuple(found[:limit]), len(found) > limit
        return ChangesPage(changes, FeedPlace(changes[-1].version if has_more else counter, place.started), has_more)


def _written_after(session: Session, project_id: UUID, place: FeedPlace, most: int) -> Iterator[Change]:
    """The first rows of each kind; those of all kinds are among them."""
    for kind in SURVEY_KINDS:
        model: Any = KINDS[kind].model
        own = model.id if kind is ResourceKind.PROJECT else model.project_id
        told = or_(model.deleted_at.is_(None), model.version > place.started)
        query = select(*shown_columns(kind), model.deleted_at).where(own == project_id, model.version > place.seen, told)
        for row in session.execute(query.order_by(model.version).limit(most)):
            values: Any = row._mapping
            deleted = values["deleted_at"] is not None
            record = None if deleted else record_from(kind, values)
            yield Change(kind, values["id"], values["version"], deleted, record)
