"""Every refusal has one shape, whatever went wrong and whoever noticed it first. The client checks the shape of each."""

import base64
import json
from typing import Any

import orjson
import pytest
from api_contract import Contract, ContractClient
from flask import Flask, request

from service.api.app import create_app
from service.api.problems import PROBLEMS
from service.config import Settings
from service.store.database import Database

NOWHERE = "6f0e2d7c-6d0a-4c39-9f3b-2f8f4f7f1c55"  # the same in every worker, which must collect the same tests
STALE = {"If-Match": '"v999999"'}
ROOM = {"ceiling_height_mm": 2700}
OUTSIDE = {"rooms": [{**ROOM, "walls": [{"length_mm": 1000, "openings": [
    {"kind": "door", "offset_mm": 900, "width_mm": 800, "sill_mm": 0, "height_mm": 2000}]}]}]}  # fmt: skip

NOBODY = {"mutation_id": "m-1", "type": "room", "id": NOWHERE, "op": "delete", "base_version": 1}

REFUSALS: list[tuple[str, str, str, dict[str, Any]]] = [
    ("malformed-request", "POST", "/v1/projects", {"data": "{", "content_type": "application/json"}),
    ("malformed-request", "GET", "/v1/projects?cursor=%21", {}),
    ("malformed-request", "PATCH", "/v1/rooms/{room_id}", {"json": {}, "headers": {"If-Match": "v7"}}),
    ("not-found", "GET", "/nowhere", {}),
    ("not-found", "GET", "/v1/rooms/not-a-uuid", {}),
    ("not-found", "GET", f"/v1/rooms/{NOWHERE}", {}),
    ("not-found", "GET", f"/v1/takeoffs/{NOWHERE}/schedule", {}),
    ("not-found", "GET", f"/v1/takeoffs/{{takeoff_id}}/layouts/{NOWHERE}", {}),
    ("method-not-allowed", "POST", "/v1/rooms/{room_id}", {"json": {}}),
    ("method-not-allowed", "PUT", "/healthz", {}),
    ("not-acceptable", "GET", "/v1/takeoffs/{takeoff_id}/layouts/{wall_id}", {"headers": {"Accept": "image/png"}}),
    ("conflict", "POST", "/v1/projects", {"json": {"reference": "INV-1"}}),
    ("conflict", "DELETE", "/v1/rooms/{room_id}", {"headers": {"If-Match": "*"}}),
    ("conflict", "POST", "/v1/projects/{project_id}/takeoffs", {"json": {"survey_version": 0}}),
    ("gone", "GET", "/v1/features/{feature_id}", {}),
    ("sync-token-expired", "GET", "/v1/projects/{project_id}/changes?since={late_token}", {}),
    ("mutations-not-applied", "POST", "/v1/projects/{project_id}/changes?atomic=true", {"json": {"mutations": [NOBODY]}}),
    ("precondition-failed", "PATCH", "/v1/rooms/{room_id}", {"json": {"name": "Other"}, "headers": STALE}),
    ("payload-too-large", "POST", "/v1/projects", {"data": b" " * 5_000_001, "content_type": "application/json"}),
    ("unsupported-media-type", "POST", "/v1/projects", {"data": "{}", "content_type": "text/plain"}),
    ("unsupported-media-type", "POST", "/v1/projects", {"data": "{}"}),
    ("unsupported-media-type", "PATCH", "/v1/rooms/{room_id}", {"data": "[]", "content_type": "application/json-patch+json"}),
    ("invalid-request", "POST", "/v1/projects", {"json": {"colour": "red"}}),
    ("invalid-request", "GET", "/v1/projects?colour=red", {}),
    ("invalid-geometry", "POST", "/v1/takeoffs", {"json": {"survey": OUTSIDE}}),
    ("precondition-required", "PATCH", "/v1/rooms/{room_id}", {"json": {"name": "Other"}}),
]


@pytest.mark.parametrize(("code", "method", "path", "sent"), REFUSALS)
def test_a_refusal_says_which_kind_it_is(
    client: ContractClient, ids: dict[str, str], code: str, method: str, path: str, sent: dict[str, Any]
) -> None:
    assert client.delete(f"/v1/features/{ids['feature_id']}", headers={"If-Match": "*"}).status_code == 204
    late = orjson.dumps([ids["project_id"].replace("-", ""), 99, 99])  # as from a backup's future
    ids["late_token"] = base64.urlsafe_b64encode(late).decode().rstrip("=")
    answer = client.open(path.format(**ids), method=method, **sent)
    assert answer.status_code == PROBLEMS[code].status
    assert answer.json["type"] == f"/docs#{code}"
    assert answer.json["title"] == PROBLEMS[code].title
    assert answer.json["status"] == answer.status_code
    assert answer.json["instance"] == path.format(**ids).partition("?")[0]
    assert answer.json["request_id"] == answer.headers["X-Request-Id"]


def test_the_table_above_and_the_tests_of_keys_and_repeats_leave_no_kind_of_problem_out() -> None:
    elsewhere = {"unauthenticated", "forbidden", "internal-error", "unavailable", "request-in-progress", "idempotency-key-reused"}
    elsewhere |= {"bound-reached"}
    assert {code for code, *_ in REFUSALS} | elsewhere == set(PROBLEMS)


def test_a_defect_tells_its_number_and_nothing_else(
    app: Flask, settings: Settings, sqlite_database: Database, capfd: Any
) -> None:
    broken = create_app(Settings(log_level="ERROR"), sqlite_database)

    @broken.get("/v1/defect")
    def defect() -> None:
        key = request.headers["Authorization"]
        raise RuntimeError("select secret from drivers" if key else "")

    try:
        headers = {"X-Request-Id": "number-17", "Authorization": "Bearer tail-of-a-key"}
        answer = broken.test_client().get("/v1/defect", headers=headers)
        logged = [json.loads(line) for line in capfd.readouterr().err.splitlines()]
    finally:
        create_app(settings, sqlite_database)  # puts the log back as the other tests have it
    assert answer.status_code == 500
    assert answer.mimetype == "application/problem+json"
    assert answer.json["type"] == "/docs#internal-error"
    assert answer.json["request_id"] == "number-17"
    assert "secret" not in answer.get_data(as_text=True)
    assert [line["request_id"] for line in logged] == ["number-17"]
    assert "select secret from drivers" in json.dumps(logged)
    assert '"name": "defect"' in json.dumps(logged), "the log says where it was"
    assert "tail-of-a-key" not in json.dumps(logged), "but not what variables held"


def test_every_answer_names_its_request_by_the_callers_own_name_if_that_is_well_formed(anyone: ContractClient) -> None:
    for given in ("a", "Till-4:0017.b_2", "x" * 64):
        assert anyone.get("/healthz", headers={"X-Request-Id": given}).headers["X-Request-Id"] == given
    for given in ("", "x" * 65, "a b", "ü", '{"a":1}'):
        made = anyone.get("/healthz", headers={"X-Request-Id": given}).headers["X-Request-Id"]
        assert made != given and len(made) == 32


def test_each_request_is_one_line_of_json_on_stderr(sqlite_database: Database, settings: Settings, capfd: Any) -> None:
    app = create_app(Settings(log_level="INFO"), sqlite_database)
    try:
        app.test_client().get("/v1/projects?cursor=private", headers={"X-Request-Id": "r-1"})
        out, err = capfd.readouterr()
    finally:
        create_app(settings, sqlite_database)
    assert out == ""
    (line,) = [json.loads(text) for text in err.splitlines()]
    assert (line["request_id"], line["method"], line["path"], line["status"]) == ("r-1", "GET", "/v1/projects", 401)
    assert "private" not in err, "what stands after the question mark is the caller's own business"


def test_answers_are_careful_with_browsers_and_caches(client: ContractClient, anyone: ContractClient) -> None:
    for answer in (client.get("/v1/account"), anyone.get("/v1/account"), anyone.get("/docs"), anyone.get("/nowhere")):
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
        assert "private" in answer.headers["Cache-Control"]


def test_ready_means_that_the_database_has_the_tables_this_code_needs(
    anyone: ContractClient, app: Flask, empty_sqlite_url: str
) -> None:
    assert anyone.get("/healthz").json == {"status": "ok"}
    assert anyone.get("/readyz").json == {"status": "ready"}
    app.extensions["database"] = Database(empty_sqlite_url)
    answer = anyone.get("/readyz")
    assert answer.status_code == 503
    assert answer.json["type"] == "/docs#unavailable"
    assert anyone.get("/healthz").status_code == 200


def test_a_problem_names_what_stands_in_the_way(client: ContractClient, ids: dict[str, str]) -> None:
    taken = client.post("/v1/projects", json={"reference": "INV-1"})
    assert taken.json["id"] == ids["project_id"]
    kept = client.delete(f"/v1/rooms/{ids['room_id']}", headers={"If-Match": "*"})
    assert {"type": "wall", "id": ids["wall_id"]} in kept.json["children"]


def test_allow_says_which_methods_a_path_has(client: ContractClient, ids: dict[str, str]) -> None:
    answer = client.post(f"/v1/rooms/{ids['room_id']}", json={})
    assert {"GET", "PUT", "PATCH", "DELETE"} <= set(answer.headers["Allow"].split(", "))


def test_refusing_a_media_type_says_which_are_read(client: ContractClient, ids: dict[str, str]) -> None:
    patch = client.patch(f"/v1/rooms/{ids['room_id']}", data="x", content_type="text/plain")
    assert patch.headers["Accept-Patch"] == "application/merge-patch+json, application/json"
    post = client.post("/v1/projects", data="x", content_type="text/plain")
    assert post.headers["Accept"] == "application/json"


def test_every_kind_of_problem_is_listed_in_the_document_and_explained_on_the_page(
    contract: Contract, anyone: ContractClient
) -> None:
    assert set(contract.document["x-problem-types"]) == {f"/docs#{code}" for code in PROBLEMS}
    page = anyone.get("/docs").get_data(as_text=True)
    for code in PROBLEMS:
        assert f'id="{code}"' in page
