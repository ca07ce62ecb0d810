"""What is counted for whoever runs the service: exactly what was asked, under names from closed lists."""

import re
import uuid
from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from api_contract import Contract, ContractClient
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from prometheus_client.openmetrics.parser import text_string_to_metric_families as read_openmetrics
from prometheus_client.parser import text_string_to_metric_families as read_plain

from service.engine.recipe import ENGINE_VERSION

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
NOT_IN_THE_DOCUMENT = {"getDocument", "getReference", "none"}
REQUESTS, SECONDS = "takeoff_http_requests_total", "takeoff_http_request_duration_seconds_count"

PLAIN, OPENMETRICS = "text/plain; version=0.0.4", "application/openmetrics-text; version=1.0.0"

Series = tuple[str, tuple[tuple[str, str], ...]]


def counts(client: ContractClient) -> dict[Series, float]:
    """Every series by its name and labels."""
    families = read_plain(client.get("/metrics").get_data(as_text=True))
    return {(it.name, tuple(sorted(it.labels.items()))): it.value for family in families for it in family.samples}


def grown(client: ContractClient, before: dict[Series, float], name: str, *labels: str) -> dict[tuple[str, ...], float]:
    """By how much, by the values of these labels; what did not grow is left out."""
    after = counts(client)
    return {
        tuple(dict(series[1])[label] for label in labels): value - before.get(series, 0)
        for series, value in after.items()
        if series[0] == name and value != before.get(series, 0)
    }


def test_requests_are_counted_by_operation_method_and_status(
    client: ContractClient, anyone: ContractClient, ids: dict[str, str]
) -> None:
    before = counts(anyone)
    for _ in range(3):
        client.get(f"/v1/rooms/{ids['room_id']}")
    client.head(f"/v1/rooms/{ids['room_id']}")
    client.get(f"/v1/rooms/{uuid.uuid4()}")
    anyone.get(f"/v1/rooms/{ids['room_id']}")
    client.patch(f"/v1/rooms/{ids['room_id']}", json={"name": 7}, headers={"If-Match": "*"})
    client.post("/v1/projects", json={})
    for path, method in (("/v1/attics", "GET"), ("/v1/account", "POST"), (f"/v1/rooms/{ids['room_id']}", "BREW")):
        client.open(path, method=method)
    assert grown(anyone, before, REQUESTS, "operation", "method", "status") == {
        ("getRoom", "GET", "200"): 3, ("getRoom", "HEAD", "200"): 1, ("getRoom", "GET", "404"): 1, ("getRoom", "GET", "401"): 1,
        ("patchRoom", "PATCH", "422"): 1, ("createProject", "POST", "201"): 1,
        ("none", "GET", "404"): 1, ("none", "POST", "405"): 1, ("none", "other", "405"): 1,
        ("getMetrics", "GET", "200"): 1,  # the first look: each is counted once it is answered
    }  # fmt: skip


def test_each_request_falls_into_one_bucket_of_its_operation(client: ContractClient, anyone: ContractClient) -> None:
    before = counts(anyone)
    for _ in range(5):
        client.get("/v1/account")
    after = counts(anyone)
    steps = []
    for (name, labels), value in after.items():
        if name == "takeoff_http_request_duration_seconds_bucket" and dict(labels)["operation"] == "getAccount":
            steps.append((float(dict(labels)["le"]), value - before.get((name, labels), 0)))
    bounds, heights = zip(*sorted(steps), strict=True)
    assert len(set(bounds)) == 15 and bounds[-1] == float("inf")
    assert list(heights) == sorted(heights) and heights[-1] == 5
    spent = ("takeoff_http_request_duration_seconds_sum", (("operation", "getAccount"),))
    assert 0 < after[spent] - before.get(spent, 0) < 5
    assert grown(anyone, before, SECONDS, "operation") == {("getAccount",): 5, ("getMetrics",): 2}


def test_takeoffs_are_counted_by_what_came_of_them(
    client: ContractClient, stranger: ContractClient, survey: dict[str, Any]
) -> None:
    before = counts(client)
    for caller, times in ((client, 3), (stranger, 1)):  # equal surveys share a result within an account only
        for _ in range(times):
            assert caller.post("/v1/takeoffs", json={"survey": survey}).status_code == 201
    project = client.post("/v1/projects", json={"survey": survey}).json["id"]
    assert client.post(f"/v1/projects/{project}/takeoffs", json={}).status_code == 201
    survey["rooms"][0]["walls"][0]["openings"][0]["offset_mm"] = 4100  # 4,100 + 1,200 is past the wall's 4,200
    assert client.post("/v1/takeoffs", json={"survey": survey}).status_code == 422
    assert client.post("/v1/takeoffs", json={"survey": {"rooms": 1}}).status_code == 422  # was never one
    assert grown(client, before, "takeoff_takeoffs_total", "outcome") == {("computed",): 2, ("shared",): 3, ("refused",): 1}
    assert grown(client, before, "takeoff_computing_duration_seconds_count") == {(): 2}


def test_an_answer_that_is_given_once_more_is_told_apart(client: ContractClient) -> None:
    before = counts(client)
    for _ in range(4):
        client.post("/v1/projects", json={}, headers={"Idempotency-Key": "a-visit"})
    assert grown(client, before, "takeoff_http_replayed_answers_total", "operation") == {("createProject",): 3}


@pytest.mark.parametrize(
    ("accept", "media", "read"),
    [
        (None, PLAIN, read_plain),
        ("*/*", PLAIN, read_plain),
        ("text/html, application/json", PLAIN, read_plain),
        ("application/openmetrics-text", OPENMETRICS, read_openmetrics),
        (f"{OPENMETRICS}, text/plain; q=0.5", OPENMETRICS, read_openmetrics),
    ],
)  # fmt: skip
def test_both_open_forms_are_spoken_and_named_as_their_conventions_say(
    anyone: ContractClient, contract: Contract, accept: str | None, media: str, read: Callable[[str], Any]
) -> None:
    answer = anyone.get("/metrics", headers={} if accept is None else {"Accept": accept})
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith(media) and answer.headers["Vary"] == "Accept"
    families = list(read(answer.get_data(as_text=True)))
    assert len(families) == 6
    shown = contract.document["paths"]["/metrics"]["get"]["responses"]["200"]["content"][answer.mimetype]["example"]
    assert {family.name for family in read(shown)} < {family.name for family in families}
    for family in families:
        assert family.documentation and family.name.startswith("takeoff_")
        assert family.type != "histogram" or family.name.endswith("_seconds")
        assert family.type != "counter" or {sample.name for sample in family.samples} <= {f"{family.name}_total"}
    (build,) = (sample for family in families for sample in family.samples if sample.name == "takeoff_build_info")
    assert (build.labels, build.value) == ({"engine_version": ENGINE_VERSION}, 1)


def test_counts_change_at_every_look_so_they_have_no_tag(anyone: ContractClient) -> None:
    first, second = anyone.get("/metrics"), anyone.get("/metrics", headers={"If-None-Match": "*"})
    assert (first.status_code, second.status_code) == (200, 200)
    assert "ETag" not in first.headers and first.get_data() != second.get_data()
    assert anyone.head("/metrics").get_data() == b""


def test_nothing_that_a_caller_sends_becomes_a_name(
    app: Flask, anyone: ContractClient, contract: Contract, account: UUID, key_for: Callable[..., str]
) -> None:
    """Ids, keys, references and junk, in every place of a request: what is told stays within operations × methods × statuses."""
    items = contract.document["paths"].values()
    operations = {it["operationId"] for item in items for method, it in item.items() if method != "parameters"}
    operations |= NOT_IN_THE_DOCUMENT
    secret = key_for(account)
    own = {secret, secret.partition(".")[0]}
    statuses = {dict(labels)["status"] for name, labels in counts(anyone) if name == REQUESTS}
    words = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S"]), min_size=6, max_size=12)
    paths = st.sampled_from([*contract.document["paths"], "/{junk}", "/v1/{junk}", "/v1/rooms/{junk}", "/metrics/{junk}"])
    method = st.sampled_from(METHODS) | st.from_regex(r"\A[A-Z]{3,9}\Z")

    @settings(max_examples=150, suppress_health_check=list(HealthCheck))
    @given(template=paths, method=method, id=st.uuids(), word=words, header=st.from_regex(r"\A[a-z0-9]{8,12}\Z"))
    def ask(template: str, method: str, id: UUID, word: str, header: str) -> None:
        path = re.sub(r"\{(\w+)\}", lambda name: word.replace("%", "") if name[1] == "junk" else str(id), template)
        headers = {"Authorization": f"Bearer {secret}", "X-Request-Id": header, "Idempotency-Key": header, "Accept": header}
        sent = {"reference": word}
        plain = FlaskClient(app, app.response_class)  # that junk is answered as documented is held elsewhere
        answer = plain.open(path, method=method, headers=headers, query_string=sent, json=sent)
        statuses.add(str(answer.status_code))
        own.update((str(id), id.hex, word, header))

    ask()
    assert {"401", "404", "405"} < statuses, "much of it was asked"
    text = anyone.get("/metrics").get_data(as_text=True)
    assert [thing for thing in own if thing in text] == []
    known = {"operation": operations, "method": {*METHODS, "other"}, "status": statuses}
    for name, labels in counts(anyone):
        assert dict(labels).keys() <= {*known, "outcome", "le", "engine_version"}, name
        if name == REQUESTS:  # so there are at most operations × methods × statuses
            assert all(value in known[label] for label, value in labels), labels
