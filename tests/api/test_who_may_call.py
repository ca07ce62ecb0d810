"""Keys, scopes, and the wall between accounts, for every operation of the document."""

import re
import uuid
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from api_contract import Contract, ContractClient
from walk import every_operation

from service.vocabulary import KeyScope


@pytest.mark.parametrize(
    "header",
    [
        None,
        "",
        "Bearer",
        "Bearer ",
        "Basic dXNlcjpwYXNz",
        "Bearer no-such-key",
        "Bearer tk_000000000000.00000000000000000000",
        "bearer \x7f",
        f"Bearer {'x' * 5000}",
    ],
)
def test_without_a_good_key_every_operation_answers_401(anyone: ContractClient, contract: Contract, header: str | None) -> None:
    ids = {name: str(uuid.uuid4()) for name in _id_names(contract)}
    for step in every_operation(contract.document):
        answer = step.ask(anyone, ids, **({} if header is None else {"Authorization": header}))
        if step.scope is None:
            assert answer.status_code == 200, step.id
            continue
        assert answer.status_code == 401, step.id
        assert answer.headers["WWW-Authenticate"].startswith("Bearer"), step.id


def test_a_key_is_good_for_its_scopes_and_no_others(
    client: ContractClient, contract: Contract, ids: dict[str, str], account: UUID, key_for: Callable[..., str]
) -> None:
    guarded = [step for step in every_operation(contract.document) if step.scope is not None]
    steps = sorted(guarded, key=lambda step: step.method == "DELETE")
    assert {step.scope for step in steps} == {scope.value for scope in KeyScope}
    for step in steps:
        client.key = key_for(account, *(scope for scope in KeyScope if scope != step.scope))
        answer = step.ask(client, ids)
        assert answer.status_code == 403, step.id
        assert step.scope in answer.json["detail"], step.id
        client.key = key_for(account, KeyScope(step.scope))
        assert step.ask(client, ids).status_code not in (401, 403), step.id


def test_what_another_account_has_is_not_found_by_any_operation(
    client: ContractClient, stranger: ContractClient, contract: Contract, ids: dict[str, str]
) -> None:
    before = [client.get(step.path(ids)).get_data() for step in _reads(contract)]
    for step in every_operation(contract.document):
        if step.needs_id:
            answer = step.ask(stranger, ids)
            assert answer.status_code == 404, f"{step.id}: {answer.status_code}"
            assert step.ask(stranger, ids, **{"If-None-Match": "*"}).status_code == 404, step.id
    assert [client.get(step.path(ids)).get_data() for step in _reads(contract)] == before


def test_another_accounts_ids_are_foreign_in_bodies_too(stranger: ContractClient, ids: dict[str, str]) -> None:
    project = {"specification_id": ids["specification_id"], "catalogue_id": ids["catalogue_id"]}
    answer = stranger.post("/v1/projects", json=project)
    assert answer.status_code == 422
    assert {fault["pointer"] for fault in answer.json["errors"]} == {"#/specification_id", "#/catalogue_id"}

    takeoff = {"survey": {"rooms": []}, **project}
    answer = stranger.post("/v1/takeoffs", json=takeoff)
    assert answer.status_code == 422
    assert {fault["pointer"] for fault in answer.json["errors"]} == {"#/specification_id", "#/catalogue_id"}

    room = {"project_id": ids["project_id"], "ceiling_height_mm": 2400}
    answer = stranger.put(f"/v1/rooms/{uuid.uuid4()}", json=room)
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == ["#/project_id"]

    own = stranger.post("/v1/projects", json={}).json["id"]
    survey = {"rooms": [{"id": ids["room_id"], "ceiling_height_mm": 2400}]}
    answer = stranger.put(f"/v1/projects/{own}/survey", json=survey, headers={"If-Match": "*"})
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == ["#/rooms/0/id"]


def test_lists_hold_only_what_is_the_accounts_own(stranger: ContractClient, ids: dict[str, str]) -> None:
    for path in ("/v1/projects", "/v1/specifications", "/v1/catalogues", "/v1/takeoffs"):
        assert stranger.get(path).json == {"items": [], "next_cursor": None}, path
    assert len(stranger.get("/v1/keys").json["items"]) == 1
    assert stranger.get("/v1/projects?reference=INV-1").json["items"] == []
    assert stranger.post("/v1/projects", json={"reference": "INV-1"}).status_code == 201, "references are an account's own"


def test_a_key_shows_its_secret_once_and_works_until_it_is_revoked(client: ContractClient) -> None:
    made = client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read", "admin"]})
    assert made.status_code == 201
    secret = made.json["secret"]
    shown = client.get(made.headers["Location"])
    assert shown.json == {name: value for name, value in made.json.items() if name != "secret"}
    assert secret not in client.get("/v1/keys").get_data(as_text=True)

    client.key = secret
    assert client.get("/v1/account").json["name"] == "Invented Linings"
    assert client.delete(made.headers["Location"]).status_code == 204
    assert client.get("/v1/account").status_code == 401


def test_a_key_is_rotated_without_a_break_for_whoever_uses_it(client: ContractClient, anyone: ContractClient) -> None:
    made = client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read"]})
    path = made.headers["Location"]
    key = {"Idempotency-Key": "rotate-1"}
    rotated = client.post(f"{path}/rotation", json={"overlap_seconds": 3600}, headers=key)
    assert rotated.status_code == 200
    assert (rotated.json["id"], rotated.json["name"], rotated.json["scopes"]) == (made.json["id"], "Tablet", ["read"])
    assert [former["prefix"] for former in rotated.json["former"]] == [made.json["prefix"]]
    assert client.get(path).json == {name: value for name, value in rotated.json.items() if name != "secret"}
    for secret in (made.json["secret"], rotated.json["secret"]):
        assert anyone.get("/v1/account", headers={"Authorization": f"Bearer {secret}"}).status_code == 200

    lost = client.post(f"{path}/rotation", json={"overlap_seconds": 3600}, headers=key)
    assert (lost.headers["Idempotency-Replayed"], lost.json) == ("true", {**rotated.json, "secret": None})
    again = client.post(f"{path}/rotation", json={"overlap_seconds": 0})
    assert again.json["former"] == []
    for secret, status in ((made.json["secret"], 401), (rotated.json["secret"], 401), (again.json["secret"], 200)):
        assert anyone.get("/v1/account", headers={"Authorization": f"Bearer {secret}"}).status_code == status
    assert client.delete(path).status_code == 204
    assert client.post(f"{path}/rotation", json={}).status_code == 409
    for overlap in (-1, 2_592_001, "3600", 1.5, None):
        answer = client.post(f"{path}/rotation", json={"overlap_seconds": overlap})
        assert [fault["pointer"] for fault in answer.json["errors"]] == ["#/overlap_seconds"]


def test_revoking_again_changes_nothing(client: ContractClient, ids: dict[str, str]) -> None:
    path = f"/v1/keys/{ids['key_id']}"
    assert client.delete(path).status_code == 204
    revoked = client.get(path).json
    assert revoked["revoked_at"] is not None
    assert client.delete(path).status_code == 204
    assert client.get(path).json == revoked


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"scopes": []}, "#/scopes"),
        ({"scopes": ["read", "everything"]}, "#/scopes/1"),
        ({"scopes": ["read", "read"]}, "#/scopes"),
        ({"name": ""}, "#/name"),
        ({"name": None}, "#/name"),
        ({"expires_at": "tomorrow"}, "#/expires_at"),
        ({"expires_at": "2031-05-01T12:00:00"}, "#/expires_at"),
        ({"expires_at": (datetime.now(UTC) - timedelta(days=1)).isoformat()}, "#/expires_at"),
        ({"secret": "of my own"}, "#/secret"),
    ],
)
def test_a_key_that_makes_no_sense_is_refused(client: ContractClient, change: dict[str, Any], pointer: str) -> None:
    answer = client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read"], **change})
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == [pointer]


def test_an_expired_key_is_refused(client: ContractClient, sqlite_database: Any) -> None:
    soon = (datetime.now(UTC) + timedelta(milliseconds=300)).isoformat()
    made = client.post("/v1/keys", json={"name": "Brief", "scopes": ["read"], "expires_at": soon}).json
    client.key = made["secret"]
    while datetime.now(UTC) < datetime.fromisoformat(made["expires_at"]):
        pass
    assert client.get("/v1/account").status_code == 401


def _reads(contract: Contract) -> list[Any]:
    return [step for step in every_operation(contract.document) if step.method == "GET" and step.needs_id]


def _id_names(contract: Contract) -> set[str]:
    return {name for step in every_operation(contract.document) for name in re.findall(r"\{(\w+)\}", step.template)}
