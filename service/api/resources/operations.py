"""For whoever runs the service: alive, ready. No key needed, nothing told."""

from functools import cache

from flask import Blueprint, Response

from service.api.answers import json_answer
from service.api.auth import database
from service.api.problems import problem
from service.errors import Refusal
from service.store import schema

operations = Blueprint("operations", __name__)


@operations.get("/healthz")
def healthz() -> Response:
    """The process answers."""
    return json_answer({"status": "ok"})


@operations.get("/readyz")
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


@cache
def _revision_needed() -> str:
    return schema.newest_revision()
