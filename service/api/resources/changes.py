"""What changed in a project since a device last asked, and what the device changed.

A token is opaque to callers: whose project, and how far in it.
"""

import base64
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import UUID

import orjson
from flask import Response, current_app

from service.api import examples
from service.api.answers import json_answer, marked
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.mutations import read_mutation
from service.api.now_and_then import now_and_then
from service.api.problems import Refused, fault_shown
from service.api.resources.stored import shown
from service.api.schemas.changes import SHAPES, Changes, MutationResults, Mutations
from service.api.schemas.queries import ChangesQuery, MutationsQuery
from service.errors import NotAllApplied
from service.usecases.apply_mutations import apply_mutations
from service.usecases.change_records import Change, FeedPlace, Mutation, Outcome
from service.usecases.read_changes import read_changes
from service.usecases.sweep_changes import sweep_changes
from service.vocabulary import ChangeType, KeyScope, MutationStatus

changes = Blueprint("Changes", "For devices that work offline: what changed since they last asked.")
PATH = "/v1/projects/<uuid:project_id>/changes"
SWEPT_EVERY_SECONDS = 3600


@changes.operation(
    "GET",
    PATH,
    "getChanges",
    scope=KeyScope.READ,
    query=ChangesQuery,
    answer=Changes,
    example=examples.CHANGES,
    etag=True,
    problems=(410,),
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
    return marked(
        {
            "changes": [change_shown(change) for change in page.changes],
            "next_token": _closed(page.place, project_id),
            "has_more": page.has_more,
            "survey_version": page.place.seen,
        }
    )


@changes.operation(
    "POST",
    PATH,
    "applyMutations",
    scope=KeyScope.WRITE,
    query=MutationsQuery,
    body=Mutations,
    body_example=examples.MUTATIONS,
    answer=MutationResults,
    example=examples.MUTATION_RESULTS,
    problems=(409, 410),
)
def apply_mutations_sent(project_id: UUID, query: Mapping[str, Any], body: Mapping[str, Any]) -> Response:
    """Send what a device changed

    Each mutation is tried in order and answered by itself; one that fails does not stop the others, unless `atomic` is set: then
    409 (`mutations-not-applied`) and nothing is stored unless all apply. A mutation that is sent again is answered as it was the
    first time, for at least 90 days; after a conflict, send the new wish under a new `mutation_id`.

    A put or patch is merged with what others wrote since `base_version`: member by member, all geometry of one wall or opening
    being one member; a put means only what differs from what the device saw. Equal values never conflict. A delete takes all
    beneath with it, and conflicts with anything in it that is newer than `base_version`. An edit of something deleted, or of
    something beneath it, conflicts with its last copy.
    """
    _sweep()
    mutations = [read_mutation(project_id, sent) for sent in body["mutations"]]
    try:
        outcomes = apply_mutations(database(), account_id(), project_id, mutations, atomic=bool(query.get("atomic")))
    except NotAllApplied as refusal:
        refusal.extra["results"] = _results(mutations, refusal.outcomes)
        raise
    return json_answer({"results": _results(mutations, outcomes)})


def _sweep() -> None:
    """Before a request writes anything of its own: that must not be waited for."""
    whole, kept = current_app.extensions["database"], timedelta(days=current_app.extensions["settings"].deletions_kept_days)
    now_and_then("sweep changes", SWEPT_EVERY_SECONDS, lambda: sweep_changes(whole, kept))


def _results(mutations: Sequence[Mutation], outcomes: Sequence[Outcome]) -> list[dict[str, Any]]:
    return [_result(number, *pair) for number, pair in enumerate(zip(mutations, outcomes, strict=True))]


def _result(number: int, mutation: Mutation, outcome: Outcome) -> dict[str, Any]:
    result: dict[str, Any] = {
        "mutation_id": mutation.id,
        "type": ChangeType(mutation.kind),
        "id": mutation.row_id,
        "status": outcome.status,
    }
    if outcome.first is not None:
        result["first_status"] = outcome.first
    match outcome.first or outcome.status, outcome.change:
        case MutationStatus.APPLIED, Change() as change:
            stands = change_shown(change)
            result.update({name: stands[name] for name in ("version", "deleted", "data")})
        case MutationStatus.CONFLICT, Change() as change:
            newer = [change_shown(each) for each in outcome.newer]
            result.update({"server": change_shown(change), "members": outcome.members, "newer": newer})
        case MutationStatus.REFUSED, _:
            moved = [replace(fault, pointer=f"#/mutations/{number}{fault.pointer[1:]}") for fault in outcome.faults]
            result["errors"] = [fault_shown(fault) for fault in moved]
    return result


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
