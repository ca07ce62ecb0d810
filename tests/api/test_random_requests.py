"""Requests made at random from the document, good ones and bad ones: no defect, no undocumented answer, no bad input accepted."""

import json
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from api_contract import Contract, ContractClient
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode

KEPT = json.loads((Path(__file__).parents[2] / "openapi" / "openapi.json").read_text())
OPERATIONS = [
    (method, path)
    for path, item in KEPT["paths"].items()
    for method in ("get", "post", "put", "patch", "delete")
    if method in item
]
CONFIG = {
    "checks": {
        # A good request may still meet a state, a cursor or a geometry that forbids it; the document cannot say which.
        "positive_data_acceptance": {
            "expected-statuses": ["2xx", "3xx", "400", "401", "403", "404", "406", "409", "410", "412", "415", "422", "428"]
        },
        "missing_required_header": {"expected-statuses": ["400", "401", "403", "415", "422", "428"]},
        # Whoever asks with a made-up method or id learns whether the key is good before anything else.
        "unsupported_method": {"enabled": False},
        "ignored_auth": {"enabled": False},
    },
}

NOT_BY_THE_SCHEMA_ALONE = {"cursor", "If-Match", "If-None-Match"}


@pytest.fixture(scope="session")
def random_schema(_app_and_contract: tuple[Flask, Contract]) -> Any:
    config = schemathesis.Config.from_dict(CONFIG)
    return schemathesis.openapi.from_wsgi("/v1/openapi.json", _app_and_contract[0], config=config)


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=[f"{method} {path}" for method, path in OPERATIONS])
def test_requests_at_random_are_answered_as_the_document_says(
    client: ContractClient, ids: dict[str, str], random_schema: Any, method: str, path: str
) -> None:
    operation = random_schema[path][method.upper()]

    @given(case=operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))
    def ask_badly(case: Any) -> None:
        case.headers = {**(case.headers or {}), "Authorization": f"Bearer {client.key}"}
        case.call_and_validate()

    @given(case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE))
    def ask_well(case: Any) -> None:
        case.path_parameters = {name: ids[name] for name in case.path_parameters or {}}
        case.headers = {**(case.headers or {}), "Authorization": f"Bearer {client.key}"}
        answer = case.call_and_validate()
        if answer.status_code == 400:
            assert {fault["parameter"] for fault in answer.json()["errors"]} <= NOT_BY_THE_SCHEMA_ALONE

    few = {"derandomize": True, "deadline": None, "database": None, "phases": [Phase.generate]}
    settings(max_examples=6, suppress_health_check=list(HealthCheck), **few)(ask_badly)()
    settings(max_examples=4, suppress_health_check=list(HealthCheck), **few)(ask_well)()
