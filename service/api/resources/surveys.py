"""A project's whole survey in one document."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from flask import Response, request

from service.api import answers, examples
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.conditional import precondition
from service.api.schemas.survey import SurveyPut, SurveyRead
from service.usecases.read_survey import read_survey
from service.usecases.records import SurveyDocument
from service.usecases.replace_survey import replace_survey
from service.usecases.survey_findings import survey_findings
from service.usecases.survey_version import survey_version
from service.vocabulary import KeyScope

surveys = Blueprint("Surveys", "All rooms of a project in one document.")
PATH = "/v1/projects/<uuid:project_id>/survey"


@surveys.operation(
    "GET",
    PATH,
    "getSurvey",
    scope=KeyScope.READ,
    answer=SurveyRead,
    example=examples.SURVEY,
    etag=True,
    problems=(410,),
)
def get_survey(project_id: UUID) -> Response:
    """Read a whole survey

    In the order on site, with what is already known to be wrong with its geometry.
    """
    if "If-None-Match" in request.headers:
        unchanged = answers.not_modified(survey_version(database(), account_id(), project_id))
        if unchanged is not None:
            return unchanged
    return _answer(project_id, read_survey(database(), account_id(), project_id))


@surveys.operation(
    "PUT",
    PATH,
    "putSurvey",
    scope=KeyScope.WRITE,
    body=SurveyPut,
    body_example=examples.SURVEY_SENT,
    answer=SurveyRead,
    example=examples.SURVEY,
    etag=True,
    precondition=True,
)
def put_survey(project_id: UUID, body: Mapping[str, Any]) -> Response:
    """Replace a whole survey

    Rows whose ids are given are kept, those without are made, all others are deleted. All of it is saved, or nothing. A
    row without an id is a new one each time: give ids of your own where an answer may get lost, so that sending it again changes
    nothing and succeeds.
    """
    return _answer(project_id, replace_survey(database(), account_id(), project_id, body, precondition()))


def _answer(project_id: UUID, survey: SurveyDocument) -> Response:
    def document() -> dict[str, Any]:
        findings = survey_findings(database(), account_id(), project_id, survey.document)
        return {"version": survey.version, **survey.document, "findings": findings}

    return answers.versioned(survey.version, document)
