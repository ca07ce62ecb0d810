"""Puts a project's whole survey in one go."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.errors import Fault, Invalid
from service.store import rows
from service.store.database import Database
from service.usecases.read_survey import survey_of
from service.usecases.records import Precondition, SurveyDocument
from service.usecases.survey_tree import apply_survey, plan_survey
from service.vocabulary import ResourceKind


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
    return database.transact(_replace, account_id, project_id, document, precondition)


def _replace(
    session: Session, account_id: UUID, project_id: UUID, document: Mapping[str, Any], precondition: Precondition
) -> SurveyDocument:
    _, ledger = rows.under_lock(session, account_id, ResourceKind.PROJECT, project_id)
    faults: list[Fault] = []
    plan = plan_survey(session, ledger.root, document, "#", faults)
    if faults:
        raise Invalid(faults)
    if plan.changes:
        precondition.allow_change(ledger.root.change_counter)
        apply_survey(session, ledger, plan)
    return survey_of(session, ledger.root)
