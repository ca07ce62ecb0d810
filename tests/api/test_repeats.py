"""The same POST sent twice: done once, answered twice; and every way in which the second may differ from the first."""

import hashlib
import json
import zlib
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from api_contract import Contract, ContractClient
from flask import Flask
from sqlalchemy import func, select
from walk import Step, every_operation

from service.config import Settings
from service.store.database import Database
from service.store.models import Base, Claim
from service.usecases.claim_request import claim_request
from service.usecases.records import Asked
from service.vocabulary import KeyScope

KEY = {"Idempotency-Key": '"8e03978e-40d5-43dd-bc93-6894a57f9324"'}


def posts(contract: Contract) -> list[Step]:
    return [step for step in every_operation(contract.document) if step.method == "POST"]


def good_body(step: Step, ids: dict[str, str]) -> dict[str, Any]:
    """The example of the document with the ids of things that exist."""
    body = {name: ids.get(name, value) for name, value in step.body.items() if name != "survey_version"}
    return {name: f"{value}-OTHER" if name in ("reference", "sku") else value for name, value in body.items()}


def rows(database: Database) -> dict[str, int]:
    """How many rows each table has, claims aside."""
    with database.read() as session:
        return {
            name: session.scalar(select(func.count()).select_from(table)) or 0
            for name, table in Base.metadata.tables.items()
            if table is not Claim.__table__
        }


def test_every_post_is_done_once_and_answered_as_often_as_it_is_sent(
    client: ContractClient, contract: Contract, ids: dict[str, str], sqlite_database: Database
) -> None:
    steps = posts(contract)
    assert {"createProject", "createRoom", "createTakeoff", "createProjectTakeoff", "createKey"} <= {step.id for step in steps}
    for step in steps:
        body = good_body(step, ids)
        first = client.post(step.path(ids), json=body, headers=KEY)
        assert first.status_code in (200, 201), f"{step.id}: {first.get_data(as_text=True)}"
        assert "Idempotency-Replayed" not in first.headers, step.id
        after_first = rows(sqlite_database)
        for key in (KEY, {"Idempotency-Key": KEY["Idempotency-Key"].strip('"')}):
            again = client.post(step.path(ids), json=body, headers=key)
            assert again.headers["Idempotency-Replayed"] == "true", step.id
            assert again.status_code == first.status_code, step.id
            for name in ("Location", "ETag", "Content-Type"):
                assert again.headers.get(name) == first.headers.get(name), f"{step.id}: {name}"
            kept = {**first.json, "secret": None} if "secret" in first.json else first.json
            assert again.json == kept, step.id
        assert rows(sqlite_database) == after_first, step.id
        other = client.post(step.path(ids), json={**body, "colour": "red"}, headers=KEY)
        assert (other.status_code, other.json["type"]) == (422, "/docs#idempotency-key-reused"), step.id


def test_every_post_documents_the_key_and_nothing_else_does(contract: Contract) -> None:
    for template, item in contract.document["paths"].items():
        for method, operation in item.items():
            if method == "parameters":
                continue
            takes_key = {"$ref": "#/components/parameters/Idempotency-Key"} in operation.get("parameters", [])
            assert takes_key is (method == "post"), f"{method} {template}"
            for status, answer in operation["responses"].items():
                replayed = "Idempotency-Replayed" in answer.get("headers", {})
                assert replayed is (takes_key and status.startswith("2")), f"{method} {template}: {status}"
            if takes_key:
                assert {"400", "409", "422"} <= operation["responses"].keys(), template


def test_a_replay_comes_byte_for_byte_though_things_have_moved_on(client: ContractClient) -> None:
    first = client.post("/v1/projects", json={"name": "Plot 4"}, headers=KEY)
    path = first.headers["Location"]
    assert client.patch(path, json={"name": "Plot 5"}, headers={"If-Match": "*"}).status_code == 200
    assert client.delete(path, headers={"If-Match": "*"}).status_code == 204
    again = client.post("/v1/projects", json={"name": "Plot 4"}, headers=KEY)
    assert again.get_data() == first.get_data()
    assert again.headers["X-Request-Id"] != first.headers["X-Request-Id"], "each request has its own line in the log"


def test_the_query_belongs_to_the_request(client: ContractClient, survey: dict[str, Any]) -> None:
    first = client.post("/v1/takeoffs?include=schedule", json={"survey": survey}, headers=KEY)
    assert first.status_code == 201
    assert client.post("/v1/takeoffs", json={"survey": survey}, headers=KEY).status_code == 422
    assert client.post("/v1/takeoffs?include=schedule", json={"survey": survey}, headers=KEY).get_data() == first.get_data()


@pytest.mark.parametrize(
    ("header", "same"),
    [
        ('"till-3:0099"', "till-3:0099"),
        (' "a b" ', '"a b"'),
        (r'"say \"so\" \\"', None),
        ("a" * 255, f'"{"a" * 255}"'),
        ("aGVsbG8+/w==", '"aGVsbG8+/w=="'),
    ],
)
def test_a_key_is_quoted_or_bare(client: ContractClient, header: str, same: str | None) -> None:
    first = client.post("/v1/projects", json={}, headers={"Idempotency-Key": header})
    assert first.status_code == 201
    again = client.post("/v1/projects", json={}, headers={"Idempotency-Key": same or header})
    assert again.get_data() == first.get_data()


@pytest.mark.parametrize(
    "header",
    ["", '""', '"', '"a', 'a"', '"a"b"', "a b", "a,b", '"a", "b"', "a;b=1", '"ü"', r'"\a"', "'ü'", "a" * 256, "\\", "a\tb"],
)
def test_what_is_no_key_is_refused_and_nothing_is_done(client: ContractClient, header: str) -> None:
    answer = client.post("/v1/projects", json={}, headers={"Idempotency-Key": header})
    assert (answer.status_code, answer.json["type"]) == (400, "/docs#malformed-request")
    assert answer.json["errors"][0]["parameter"] == "Idempotency-Key"
    assert client.get("/v1/projects").json["items"] == []


def test_keys_of_other_accounts_and_other_paths_are_other_keys(
    client: ContractClient, stranger: ContractClient, ids: dict[str, str]
) -> None:
    made = client.post("/v1/projects", json={"name": "One"}, headers=KEY)
    theirs = stranger.post("/v1/projects", json={"name": "Two"}, headers=KEY)
    room = client.post(f"/v1/projects/{ids['project_id']}/rooms", json={"ceiling_height_mm": 2400}, headers=KEY)
    slash = client.post("/v1/projects/", json={"name": "One"}, headers=KEY)
    assert [answer.status_code for answer in (made, theirs, room)] == [201, 201, 201]
    assert theirs.json["name"] == "Two"
    assert slash.get_data() == made.get_data(), "a slash at the end makes no other path"


def test_another_key_of_the_same_account_may_send_it_again(
    client: ContractClient, account: UUID, key_for: Callable[..., str]
) -> None:
    first = client.post("/v1/projects", json={}, headers=KEY)
    client.key = key_for(account, KeyScope.WRITE)
    assert client.post("/v1/projects", json={}, headers=KEY).get_data() == first.get_data()
    client.key = key_for(account, KeyScope.READ)
    assert client.post("/v1/projects", json={}, headers=KEY).status_code == 403, "nor is a replay to be had without the scope"
    client.key = "tk_unknown"
    assert client.post("/v1/projects", json={}, headers=KEY).status_code == 401


def test_what_was_wrong_with_the_request_is_answered_again(client: ContractClient) -> None:
    door = {"kind": "door", "offset_mm": 900, "width_mm": 800, "sill_mm": 0, "height_mm": 2000}
    survey = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": 1000, "openings": [door]}]}]}
    project = client.post("/v1/projects", json={"survey": survey}).json["id"]
    opening = client.get(f"/v1/projects/{project}/survey").json["rooms"][0]["walls"][0]["openings"][0]["id"]
    path = f"/v1/projects/{project}/takeoffs"
    first = client.post(path, json={}, headers=KEY)
    assert (first.status_code, first.json["type"]) == (422, "/docs#invalid-geometry")
    assert client.patch(f"/v1/openings/{opening}", json={"offset_mm": 100}, headers={"If-Match": "*"}).status_code == 200
    again = client.post(path, json={}, headers=KEY)
    assert again.get_data() == first.get_data()
    assert again.headers["Content-Type"] == "application/problem+json"
    assert again.headers["Idempotency-Replayed"] == "true"
    assert client.post(path, json={}, headers={"Idempotency-Key": "another"}).status_code == 201

    shape = client.post("/v1/projects", json={"repeat": 0}, headers=KEY)
    assert shape.status_code == 422
    assert client.post("/v1/projects", json={"repeat": 0}, headers=KEY).get_data() == shape.get_data()


def test_what_depends_on_the_state_of_things_is_tried_again(client: ContractClient, ids: dict[str, str]) -> None:
    taken = {"reference": "INV-1"}
    assert client.post("/v1/projects", json=taken, headers=KEY).status_code == 409
    assert (
        client.patch(f"/v1/projects/{ids['project_id']}", json={"reference": None}, headers={"If-Match": "*"}).status_code == 200
    )
    made = client.post("/v1/projects", json=taken, headers=KEY)
    assert made.status_code == 201

    later = "01980c5e-7a00-7000-8000-000000000099"
    rooms, room = f"/v1/projects/{later}/rooms", {"ceiling_height_mm": 2400}
    assert client.post(rooms, json=room, headers=KEY).status_code == 404
    assert client.put(f"/v1/projects/{later}", json={}).status_code == 201
    assert client.post(rooms, json=room, headers=KEY).status_code == 201

    assert client.post("/v1/catalogues", data="{", content_type="application/json", headers=KEY).status_code == 400
    assert client.post("/v1/catalogues", data="{}", content_type="text/plain", headers=KEY).status_code == 415
    assert client.post("/v1/catalogues", data=b" " * 5_000_001, content_type="application/json", headers=KEY).status_code == 413
    assert client.post("/v1/catalogues", json={}, headers=KEY).status_code == 201


def test_a_request_under_way_is_not_begun_twice(
    client: ContractClient, account: UUID, sqlite_database: Database, app: Flask
) -> None:
    body = json.dumps({"name": "Plot 4"}).encode()
    fingerprint = hashlib.sha256(b"\n" + body).hexdigest()
    asked = Asked(account, "POST", "/v1/projects", "slow", fingerprint)
    claim_request(sqlite_database, asked, timedelta(seconds=60), timedelta(hours=24))
    sent = {"data": body, "content_type": "application/json", "headers": {"Idempotency-Key": "slow"}}
    answer = client.post("/v1/projects", **sent)
    assert (answer.status_code, answer.json["type"]) == (409, "/docs#request-in-progress")
    assert 1 <= int(answer.headers["Retry-After"]) <= 5
    other = client.post("/v1/projects", **{**sent, "data": b"{}"})
    assert (other.status_code, other.json["type"]) == (422, "/docs#idempotency-key-reused")
    assert client.get("/v1/projects").json["items"] == []


def test_a_defect_of_ours_is_not_kept(client: ContractClient, app: Flask, sqlite_database: Database) -> None:
    with sqlite_database.write() as session:
        session.connection().exec_driver_sql("ALTER TABLE projects RENAME TO elsewhere")
    assert client.post("/v1/projects", json={}, headers=KEY).status_code == 500
    with sqlite_database.write() as session:
        session.connection().exec_driver_sql("ALTER TABLE elsewhere RENAME TO projects")
    made = client.post("/v1/projects", json={}, headers=KEY)
    assert made.status_code == 201
    assert "Idempotency-Replayed" not in made.headers


def test_a_busy_database_is_not_kept_either(
    client: ContractClient, app: Flask, sqlite_database: Database, sqlite_url: str
) -> None:
    hasty = Database(sqlite_url, sqlite_busy_seconds=0)
    client.get("/v1/projects")  # the use of the key is noted for this minute
    app.extensions["database"] = hasty
    with sqlite_database.write() as holder:
        holder.connection()
        assert client.post("/v1/projects", json={}, headers=KEY).status_code == 503
    assert client.post("/v1/projects", json={}, headers=KEY).status_code == 201
    hasty.close()


def test_no_secret_is_kept(client: ContractClient, sqlite_database: Database) -> None:
    made = client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read"]}, headers=KEY)
    secret = made.json["secret"]
    again = client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read"]}, headers=KEY)
    assert (again.status_code, again.json["id"], again.json["secret"]) == (201, made.json["id"], None)
    with sqlite_database.read() as session:
        kept = [zlib.decompress(body or b"").decode() for body in session.scalars(select(Claim.body))]
        dump = "\n".join([*kept, *session.connection().connection.driver_connection.iterdump()])
    assert dump.count(made.json["prefix"]) == 2, "in the table of keys and in the answer that is kept"
    assert secret.removeprefix(made.json["prefix"]) not in dump


def test_the_document_says_how_long_answers_are_kept(contract: Contract, settings: Settings) -> None:
    text = " ".join(contract.document["info"]["description"].split())
    assert f"kept for {settings.answers_kept_hours} hours" in text
    assert f"takes over within {settings.claim_seconds} seconds" in text
    with pytest.raises(ValueError, match="SERVICE_ANSWERS_KEPT_HOURS"):
        Settings(answers_kept_hours=23)
