"""Reads a project's whole survey."""

from uuid import UUID

from service.store.database import Database
from service.usecases.records import SurveyDocument


def read_survey(database: Database, account_id: UUID, project_id: UUID) -> SurveyDocument:
    """The tree of rooms in one document, in the order on site: every row with its id, in the form that `replace_survey` takes.

    Raises:
        Missing, Gone: the project.
    """
    raise NotImplementedError
