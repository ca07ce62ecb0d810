"""What changed in a project since a device last asked. A token is opaque to callers: whose project, and how far in it."""

import base64
from collections.abc import Mapping
from typing import Any
from uuid import UUID

import orjson
from flask import Response, current_app

from service.api import examples
from service.api.answers import json_answer
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.problems import Refused
from service.api.resources.stored import shown
from service.api.schemas.changes import SHAPES, Changes
from service.api.schemas.queries import ChangesQuery
from service.usecases.change_records import Change, FeedPlace
from service.usecases.read_changes import read_changes
from service.vocabulary import ChangeType, KeyScope

changes = Blueprint("Changes", "For devices that work offline: what changed since they last asked.")
PATH = "/v1/projects/<uuid:project_id>/changes"


@changes.operation(
    "GET",
    PATH,
    "getChanges",
    scope=KeyScope.READ,
    query=ChangesQuery,
    answer=Changes,
    example=examples.CHANGES,
    problems=(400, 410),
)
def get_changes(project_id: UUID, query: Mapping[str, Any]) -> Response:
    """Read what changed in a project

    Without `since`: the whole project. With it: all that was made, changed or deleted since; nothing is ever left out, whoever
    writes meanwhile. Read on until `has_more` is false, and keep the last `next_token` for the next time. A token stays good for
    at least 90 days; one that is too old is refused with 410 (`sync-token-expired`).
    """
    settings = current_app.extensions["settings"]
    limit = min(query.get("limit") or settings.page_limit, settings.page_limit_most)
    token = query.get("since")
    page = read_changes(database(), account_id(), project_id, None if token is None else _opened(token, project_id), limit)
    return json_answer(
        {
            "changes": [change_shown(change) for change in page.changes],
            "next_token": _closed(page.place, project_id),
            "has_more": page.has_more,
            "survey_version": page.place.seen,
        }
    )


def change_shown(change: Change) -> dict[str, Any]:
    type = ChangeType(change.kind)
    data = None if change.record is None else shown(change.record, SHAPES[type])
    return {"type": type, "id": change.id, "version": change.version, "deleted": change.deleted, "data": data}


def _closed(place: FeedPlace, project_id: UUID) -> str:
    return base64.urlsafe_b64encode(orjson.dumps([project_id.hex, place.seen, place.started])).decode().rstrip("=")


def _opened(token: str, project_id: UUID) -> FeedPlace:
    """Raises Refused for anything that `_closed` did not make for this project."""
    try:
        project, *numbers = orjson.loads(base64.b64decode(token + "=" * (-len(token) % 4), altchars=b"-_", validate=True))
        seen, started = numbers
    except (ValueError, TypeError):
        raise _bad_token("This is no token of a list of changes.") from None
    if any(type(number) is not int or number < 0 for number in (seen, started)):
        raise _bad_token("This is no token of a list of changes.")
    if project != project_id.hex:
        raise _bad_token("This token is of another project.")
    return FeedPlace(seen, started)


def _bad_token(detail: str) -> Refused:
    return Refused("malformed-request", detail, [{"parameter": "since", "detail": detail, "code": "wrong_token"}])
