"""The check that every answer of every test goes through can object: a true answer made false in one way at a time."""

import json
from typing import Any

import pytest
from api_contract import Contract, ContractClient

PATH = "/v1/projects"


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({}, None),
        ({"status": 201}, "may not answer 201"),
        ({"path": "/v1/dwellings"}, "is not documented"),
        ({"without": "Content-Type"}, "is not documented as"),
        ({"without": "X-Request-Id"}, "names its request"),
        ({"body": {"items": [], "next_cursor": None, "total": 0}}, "not a ProjectPage"),
        ({"body": {"items": []}}, "not a ProjectPage"),
        ({"body": {"items": [{"id": 1}], "next_cursor": None}}, "not a ProjectPage"),
        ({"status": 422}, "answered as application/json"),
        ({"status": 503, "media": "application/problem+json"}, "not a ProblemDetails"),
    ],
    ids=str,
)
def test_an_answer_that_is_not_as_documented_is_noticed(
    client: ContractClient, contract: Contract, change: dict[str, Any], complaint: str | None
) -> None:
    answer = client.get(PATH)
    headers = {**answer.headers, "Content-Type": change.get("media", "application/json")}
    headers.pop(change.get("without"), None)
    body = json.dumps(change["body"]).encode() if "body" in change else answer.get_data()

    def check() -> None:
        contract.check("GET", change.get("path", PATH), change.get("status", 200), headers, body)

    if complaint is None:
        check()
    else:
        with pytest.raises(AssertionError, match=complaint):
            check()
