"""For whoever runs the service: alive, ready, what was done so far. No key needed, nothing of any account told."""

from functools import cache

from flask import Response, current_app, request

from service.api.answers import json_answer
from service.api.auth import database
from service.api.base import Blueprint, TextForm
from service.api.metrics import Metrics
from service.api.problems import problem
from service.api.schemas.operations import ServiceStatus
from service.errors import Refusal
from service.store import schema

operations = Blueprint("Operations", "For whoever runs the service.")

_PLAIN = """\
# HELP takeoff_http_requests_total Requests answered.
# TYPE takeoff_http_requests_total counter
takeoff_http_requests_total{method="GET",operation="getRoom",status="200"} 1284.0
takeoff_http_requests_total{method="POST",operation="createTakeoff",status="201"} 37.0
"""
_OPEN = _PLAIN.replace("s_total Requests", "s Requests").replace("s_total counter", "s counter") + "# EOF\n"


@operations.operation("GET", "/healthz", "getHealth", scope=None, answer=ServiceStatus, example={"status": "ok"})
def get_health() -> Response:
    """Whether the process answers"""
    return json_answer({"status": "ok"})


@operations.operation("GET", "/readyz", "getReadiness", scope=None, answer=ServiceStatus, example={"status": "ready"})
def get_readiness() -> Response:
    """Whether to send requests here

    The database answers and has the tables that this version needs; otherwise 503.
    """
    try:
        revision = schema.revision_of(database())
    except Refusal:
        return problem("unavailable", "The database does not answer.", headers={"Retry-After": "5"})
    if revision != _revision_needed():
        return problem(
            "unavailable", "The database is not at the revision that this version needs.", headers={"Retry-After": "5"}
        )
    return json_answer({"status": "ready"})


@operations.operation(
    "GET",
    "/metrics",
    "getMetrics",
    scope=None,
    texts=(
        TextForm("text/plain", "The text format 0.0.4.", _PLAIN),
        TextForm("application/openmetrics-text", "OpenMetrics, where `Accept` names it.", _OPEN),
    ),
)
def get_metrics() -> Response:
    """What was done since the service began

    By all its workers: requests by operation, method and status, how long they took, answers given once more, takeoffs by what
    came of them and what computing took. Counts and words of this document alone, never an id. Another at every look, so it has
    no ETag.
    """
    counted: Metrics = current_app.extensions["metrics"]
    text, media = counted.shown(request.headers.get("Accept", ""))
    return Response(text, headers={"Vary": "Accept"}, content_type=media)


@cache
def _revision_needed() -> str:
    return schema.newest_revision()
