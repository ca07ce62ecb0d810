"""The list of changes over HTTP: tokens that are good, bad, old and another's; the forms that are told."""

import base64
from typing import Any

import orjson
import pytest
from api_contract import ContractClient


def _read_on(client: ContractClient, path: str, token: str | None = None, limit: int | None = None) -> tuple[list[Any], str]:
    """All changes from there to the end, and the token to go on with."""
    changes: list[Any] = []
    while True:
        query = {name: value for name, value in (("since", token), ("limit", limit)) if value is not None}
        answer = client.get(path, query_string=query)
        assert answer.status_code == 200, answer.json
        changes += answer.json["changes"]
        token = answer.json["next_token"]
        if not answer.json["has_more"]:
            return changes, str(token)


@pytest.fixture
def path(ids: dict[str, str]) -> str:
    return f"/v1/projects/{ids['project_id']}/changes"


def test_the_whole_project_comes_in_the_form_of_its_single_resources(
    client: ContractClient, ids: dict[str, str], path: str
) -> None:
    changes, _ = _read_on(client, path)
    named = {change["id"]: change for change in changes}
    for name in ("project", "room", "wall", "opening", "feature"):
        change = named[ids[f"{name}_id"]]
        collection = "projects" if name == "project" else f"{name}s"
        single = client.get(f"/v1/{collection}/{change['id']}").json
        assert (change["type"], change["deleted"], change["version"]) == (name, False, single["version"])
        assert change["data"] == single
    assert len(named) == len(changes) == 6  # project, room, two walls, opening, feature


def test_a_page_is_as_long_as_asked_and_a_token_goes_on_from_it(client: ContractClient, ids: dict[str, str], path: str) -> None:
    whole, token = _read_on(client, path)
    assert _read_on(client, path, limit=1)[0] == whole
    assert client.get(path, query_string={"limit": 2}).json["changes"] == whole[:2]
    empty = client.get(path, query_string={"since": token}).json
    version = client.get(f"/v1/projects/{ids['project_id']}/survey").json["version"]
    assert empty == {"changes": [], "next_token": empty["next_token"], "has_more": False, "survey_version": version}

    client.patch(f"/v1/walls/{ids['wall_id']}", json={"length_mm": 4300}, headers={"If-Match": "*"})
    client.delete(f"/v1/features/{ids['feature_id']}", headers={"If-Match": "*"})
    changes, later = _read_on(client, path, empty["next_token"])
    assert [(change["id"], change["deleted"]) for change in changes] == [(ids["wall_id"], False), (ids["feature_id"], True)]
    assert changes[0]["data"]["length_mm"] == 4300
    assert changes[1]["data"] is None
    assert later != token


def _token(*parts: Any) -> str:
    return base64.urlsafe_b64encode(orjson.dumps(list(parts))).decode().rstrip("=")


@pytest.mark.parametrize(
    "token",
    [
        "never given out",
        "!!!",
        "=",
        "e30",
        _token(),
        _token("p", 1),
        _token("p", 1, 1, 1),
        _token("PROJECT", 1, "1"),
        _token("PROJECT", -1, 1),
        _token("PROJECT", True, 1),
        _token("PROJECT", 1.5, 1),
        _token("another", 1, 1),
    ],
)
def test_what_is_no_token_of_this_project_is_refused(client: ContractClient, ids: dict[str, str], path: str, token: str) -> None:
    project = ids["project_id"].replace("-", "")
    if token not in ("!!!", "="):
        raw = base64.urlsafe_b64decode(token + "=" * (-len(token) % 4)) if " " not in token else b""
        token = base64.urlsafe_b64encode(raw.replace(b"PROJECT", project.encode())).decode().rstrip("=") if raw else token
    answer = client.get(path, query_string={"since": token})
    assert (answer.status_code, answer.json["type"]) == (400, "/docs#malformed-request")
    assert [(fault["parameter"], fault["code"]) for fault in answer.json["errors"]] == [("since", "wrong_token")]


def test_another_projects_token_is_refused(client: ContractClient, path: str) -> None:
    other = client.post("/v1/projects", json={"name": "Another"}).json["id"]
    token = client.get(f"/v1/projects/{other}/changes").json["next_token"]
    answer = client.get(path, query_string={"since": token})
    assert (answer.status_code, answer.json["errors"][0]["code"]) == (400, "wrong_token")
    assert client.get(f"/v1/projects/{other}/changes", query_string={"since": token}).status_code == 200


def test_a_token_of_a_time_that_was_lost_is_gone(client: ContractClient, ids: dict[str, str], path: str) -> None:
    ahead = _token(ids["project_id"].replace("-", ""), 1_000_000, 1_000_000)
    answer = client.get(path, query_string={"since": ahead})
    assert (answer.status_code, answer.json["type"]) == (410, "/docs#sync-token-expired")


@pytest.mark.parametrize("query", [{"since": ""}, {"limit": "0"}, {"limit": "some"}, {"cursor": "x"}, {"since": "x" * 1001}])
def test_a_wrong_query_is_refused_by_parameter(client: ContractClient, path: str, query: dict[str, str]) -> None:
    answer = client.get(path, query_string=query)
    assert answer.status_code == 422
    assert [fault["parameter"] for fault in answer.json["errors"]] == list(query)


def test_a_deleted_project_has_no_changes_any_more(client: ContractClient, ids: dict[str, str], path: str) -> None:
    client.delete(f"/v1/projects/{ids['project_id']}", headers={"If-Match": "*"})
    answer = client.get(path)
    assert (answer.status_code, answer.json["type"]) == (410, "/docs#gone")
