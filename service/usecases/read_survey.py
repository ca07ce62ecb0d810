"""Reads a project's whole survey."""

from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.store.models import Root
from service.usecases.members import FORMS, shown_columns
from service.usecases.records import SurveyDocument
from service.usecases.survey_tree import LISTS
from service.vocabulary import ResourceKind


def read_survey(database: Database, account_id: UUID, project_id: UUID) -> SurveyDocument:
    """The tree of rooms in one document, in the order on site: every row with its id, in the form that `replace_survey` takes.

    Raises:
        Missing, Gone: the project.
    """
    with database.read() as session:
        project = rows.live(session, account_id, ResourceKind.PROJECT, project_id)
        return survey_of(session, project)


def survey_of(session: Session, project: Any) -> SurveyDocument:
    """The survey of a project that was found already."""
    assert isinstance(project, Root)
    document: dict[str, Any] = {"rooms": []}
    parents: dict[UUID, dict[str, Any]] = {project.id: document}
    for kind in (ResourceKind.PROJECT, ResourceKind.ROOM, ResourceKind.WALL):
        found: dict[UUID, dict[str, Any]] = {}
        for name, child in LISTS[kind].items():
            shape = KINDS[child]
            model: Any = shape.model
            query = select(*shown_columns(child)).where(model.project_id == project.id, model.deleted_at.is_(None))
            for row in session.execute(query.order_by(model.position, model.id)):
                values: Any = row._mapping
                entry = {"id": values["id"], **FORMS[child].show(values), **{key: [] for key in LISTS[child]}}
                parents[values[shape.parent_id or ""]][name].append(entry)
                found[values["id"]] = entry
        parents = found
    return SurveyDocument(project.change_counter, document)
