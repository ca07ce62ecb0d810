"""Tells which version a project's survey is at, without reading it."""

from uuid import UUID

from service.store import rows
from service.store.database import Database
from service.store.models import Root
from service.vocabulary import ResourceKind


def survey_version(database: Database, account_id: UUID, project_id: UUID) -> int:
    """The project's change counter.

    Raises:
        Missing, Gone: the project.
    """
    with database.read() as session:
        project = rows.live(session, account_id, ResourceKind.PROJECT, project_id)
        assert isinstance(project, Root)
        return project.change_counter
