"""Puts a project's whole survey in one go."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Precondition, SurveyDocument


def replace_survey(
    database: Database, account_id: UUID, project_id: UUID, document: Mapping[str, Any], precondition: Precondition
) -> SurveyDocument:
    """Keeps the rows whose ids are given, makes the others, deletes those left out; rows that do not change keep their version.

    Raises:
        Invalid: every fault by pointer (`#/rooms/0/walls/2/length_mm`), and ids that are given twice, deleted, of another kind,
            parent, project or account.
        Missing, Gone: the project.
        PreconditionRequired, PreconditionFailed: the version to match is the survey's, the project's change counter.
    """
    raise NotImplementedError
