"""Requests made at random from the document, good ones and bad ones: no defect, no undocumented answer, no bad input accepted.

Every check of schemathesis is on. A good request may be answered with the statuses below and no others; where a schema cannot
say what makes a request good, `sound_requests` makes it so.
"""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from api_contract import Contract, ContractClient
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode
from sound_requests import sound

KEPT = json.loads((Path(__file__).parents[2] / "openapi" / "openapi.json").read_text())
OPERATIONS = [
    (method, path)
    for path, item in KEPT["paths"].items()
    for method in ("get", "post", "put", "patch", "delete")
    if method in item
]
CONFIG = {
    "generation": {"mode": "positive"},
    "checks": {
        # 410 is what 404 is elsewhere: a story may come back to what it has deleted.
        "positive_data_acceptance": {
            "expected-statuses": ["2xx", "3xx", "401", "403", "404", "409", "410", "412", "415", "428", "429"]
        },
        "missing_required_header": {"expected-statuses": ["400", "401", "403", "415", "422", "428"]},
    },
}
MANY = settings.get_profile("thorough").max_examples == settings().max_examples
"""Under the thorough profile each operation is asked a hundred times, and stories are many and long."""


def few(examples: int, **more: Any) -> settings:
    return settings(
        max_examples=examples * (25 if MANY else 1),
        derandomize=not MANY,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        **more,
    )


class OwnKey:
    """Sends the key of the account that the running test has."""

    secret = ""

    def get(self, case: Any, context: Any) -> str:
        return self.secret

    def set(self, case: Any, data: str, context: Any) -> None:
        case.headers = {**(case.headers or {}), "Authorization": f"Bearer {data}"}


@pytest.fixture(scope="session")
def _random_schema(_app_and_contract: tuple[Flask, Contract]) -> Any:
    config = schemathesis.Config.from_dict(CONFIG)
    schema = schemathesis.openapi.from_wsgi("/v1/openapi.json", _app_and_contract[0], config=config)
    schema.auth(refresh_interval=None)(OwnKey)
    return schema


@pytest.fixture
def random_schema(_random_schema: Any, client: ContractClient) -> Iterator[Any]:
    OwnKey.secret = str(client.key)
    yield _random_schema
    OwnKey.secret = ""


@pytest.mark.parametrize(("method", "path"), OPERATIONS, ids=[f"{method} {path}" for method, path in OPERATIONS])
def test_requests_at_random_are_answered_as_the_document_says(
    ids: dict[str, str], survey: dict[str, Any], random_schema: Any, method: str, path: str
) -> None:
    operation, documented = random_schema[path][method.upper()], KEPT["paths"][path][method]

    @given(case=operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))
    def ask_badly(case: Any) -> None:
        case.call_and_validate()

    @given(case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE))
    def ask_well(case: Any) -> None:
        case.path_parameters = {name: ids[name] for name in case.path_parameters or {}}
        sound(case, ids, survey)
        case.call_and_validate()

    if any(holder.get("parameters") for holder in (KEPT["paths"][path], documented)) or "requestBody" in documented:
        few(5)(ask_badly)()  # what takes nothing cannot be asked badly
    few(3)(ask_well)()


def test_stories_at_random_along_the_links_are_answered_as_the_document_says(
    start_afresh: Callable[[], tuple[ContractClient, dict[str, str]]], survey: dict[str, Any], _random_schema: Any
) -> None:
    """What is made is read, changed, deleted, read again, by the links of the answers alone. Each story begins anew."""
    went_well: list[str] = []

    class Story(_random_schema.as_state_machine()):  # type: ignore[misc]
        def setup(self) -> None:
            client, self.ids = start_afresh()
            OwnKey.secret = str(client.key)

        def before_call(self, case: Any) -> None:
            sound(case, self.ids, survey)

        def after_call(self, response: Any, case: Any) -> None:
            if response.status_code < 300:
                went_well.append(case.operation.label)

    Story.run(settings=few(4, stateful_step_count=6))
    assert len(went_well) >= 8, "much of it is heard"
