"""For whoever runs the service: alive, ready, what was done so far. No key needed, nothing of any account told."""

from functools import cache

from flask import Blueprint, Response, current_app, request

from service.api.answers import json_answer
from service.api.auth import database
from service.api.metrics import Metrics
from service.api.problems import problem
from service.errors import Refusal
from service.store import schema

operations = Blueprint("operations", __name__)


@operations.get("/healthz", endpoint="getHealth")
def healthz() -> Response:
    """The process answers."""
    return json_answer({"status": "ok"})


@operations.get("/readyz", endpoint="getReadiness")
def readyz() -> Response:
    """The database answers and has the tables that this code needs: send requests here."""
    try:
        revision = schema.revision_of(database())
    except Refusal:
        return problem("unavailable", "The database does not answer.", headers={"Retry-After": "5"})
    if revision != _revision_needed():
        return problem(
            "unavailable", "The database is not at the revision that this version needs.", headers={"Retry-After": "5"}
        )
    return json_answer({"status": "ready"})


@operations.get("/metrics", endpoint="getMetrics")
def metrics() -> Response:
    """What was counted since the service began, by all its workers. No ETag: it is never the same twice."""
    counted: Metrics = current_app.extensions["metrics"]
    text, media = counted.shown(request.headers.get("Accept", ""))
    return Response(text, headers={"Vary": "Accept"}, content_type=media)


@cache
def _revision_needed() -> str:
    return schema.newest_revision()
