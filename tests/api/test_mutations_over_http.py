"""Mutations on the wire: what a device sends, what it is answered, and pointers into what it sent."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from api_contract import ContractClient

Send = Callable[..., Any]


@pytest.fixture
def send(client: ContractClient, ids: dict[str, str]) -> Send:
    def post(*mutations: dict[str, Any], query: str = "", headers: dict[str, str] | None = None) -> Any:
        named = [{"mutation_id": str(uuid4()), **mutation} for mutation in mutations]
        return client.post(f"/v1/projects/{ids['project_id']}/changes{query}", json={"mutations": named}, headers=headers or {})

    return post


def of_wall(ids: dict[str, str], op: str, base: int | None, **data: Any) -> dict[str, Any]:
    return {"type": "wall", "id": ids["wall_id"], "op": op, "base_version": base, "data": data}


def test_a_room_with_its_wall_comes_in_one_request_and_shows_in_the_feed_and_the_survey(
    client: ContractClient, ids: dict[str, str], send: Send
) -> None:
    room, wall = str(uuid4()), str(uuid4())
    since = client.get(f"/v1/projects/{ids['project_id']}/changes").json["next_token"]
    answer = send(
        {"type": "room", "id": room, "op": "put", "data": {"name": "Loft", "ceiling_height_mm": 2300}},
        {"type": "wall", "id": wall, "op": "put", "data": {"room_id": room, "length_mm": 3600}},
    )
    assert answer.status_code == 200
    results = answer.json["results"]
    assert [(result["status"], result["type"], result["id"]) for result in results] == [
        ("applied", "room", room),
        ("applied", "wall", wall),
    ]
    assert results[1]["data"] == client.get(f"/v1/walls/{wall}").json
    changes = client.get(f"/v1/projects/{ids['project_id']}/changes", query_string={"since": since}).json["changes"]
    assert [(change["id"], change["version"]) for change in changes] == [
        (room, results[0]["version"]),
        (wall, results[1]["version"]),
    ]
    survey = client.get(f"/v1/projects/{ids['project_id']}/survey").json
    assert survey["rooms"][-1]["id"] == room
    assert [each["id"] for each in survey["rooms"][-1]["walls"]] == [wall]


def test_a_conflict_shows_the_servers_copy_and_what_both_wrote(client: ContractClient, ids: dict[str, str], send: Send) -> None:
    path = f"/v1/walls/{ids['wall_id']}"
    seen = client.get(path).json
    client.patch(path, json={"length_mm": seen["length_mm"] + 15}, headers={"If-Match": "*"})
    (result,) = send(of_wall(ids, "patch", seen["version"], height_left_mm=2310)).json["results"]
    assert (result["status"], result["server"]["data"]) == ("conflict", client.get(path).json)
    assert set(result["members"]) == {"length_mm", "height_left_mm"}  # the geometry of a wall is one


def test_what_is_sent_again_is_not_done_again(client: ContractClient, ids: dict[str, str], send: Send) -> None:
    seen = client.get(f"/v1/walls/{ids['wall_id']}").json
    wish = {"mutation_id": "note-1", **of_wall(ids, "patch", seen["version"], name="Street front")}
    first = send(wish).json["results"][0]
    client.patch(f"/v1/walls/{ids['wall_id']}", json={"name": "Gable"}, headers={"If-Match": "*"})
    again = send(wish).json["results"][0]
    assert (again["status"], again["first_status"]) == ("duplicate", "applied")
    assert {name: again[name] for name in ("version", "data")} == {name: first[name] for name in ("version", "data")}
    assert client.get(f"/v1/walls/{ids['wall_id']}").json["name"] == "Gable"
    other = send({**wish, "data": {"name": "Rear"}}).json["results"][0]
    assert (other["status"], other["errors"][0]["pointer"]) == ("refused", "#/mutations/0/mutation_id")


def test_a_refusal_points_into_the_request_and_stops_nobody_else(client: ContractClient, ids: dict[str, str], send: Send) -> None:
    base = client.get(f"/v1/walls/{ids['wall_id']}").json["version"]
    answer = send(
        of_wall(ids, "patch", base, length_mm=-4, colour="red"),
        of_wall(ids, "patch", base, name="Gable"),
        {"type": "opening", "id": str(uuid4()), "op": "put", "data": {"wall_id": ids["wall_id"], "kind": "porthole"}},
    )
    bad, good, worse = answer.json["results"]
    assert answer.status_code == 200
    assert (bad["status"], good["status"], worse["status"]) == ("refused", "applied", "refused")
    assert {fault["pointer"] for fault in bad["errors"]} == {"#/mutations/0/data/length_mm", "#/mutations/0/data/colour"}
    assert "#/mutations/2/data/kind" in {fault["pointer"] for fault in worse["errors"]}


@pytest.mark.parametrize(
    ("mutation", "pointer"),
    [
        ({"type": "roof", "op": "put"}, "#/mutations/0/type"),
        ({"type": "wall", "op": "burn"}, "#/mutations/0/op"),
        ({"type": "wall", "op": "put", "base_version": "two"}, "#/mutations/0/base_version"),
        ({"type": "wall", "op": "put", "data": []}, "#/mutations/0/data"),
        ({"type": "wall", "op": "put", "colour": "red"}, "#/mutations/0/colour"),
    ],
)
def test_what_is_no_mutation_is_refused_whole(
    client: ContractClient, ids: dict[str, str], send: Send, mutation: dict[str, Any], pointer: str
) -> None:
    version = client.get(f"/v1/projects/{ids['project_id']}").json["version"]
    answer = send(of_wall(ids, "patch", version, name="Gable"))
    assert answer.status_code == 200
    after = client.get(f"/v1/projects/{ids['project_id']}/survey").get_data()
    answer = send({"id": str(uuid4()), **mutation}, of_wall(ids, "patch", version, name="Rear"))
    assert answer.status_code == 422
    assert pointer in {fault["pointer"] for fault in answer.json["errors"]}
    assert client.get(f"/v1/projects/{ids['project_id']}/survey").get_data() == after


def test_all_or_nothing_says_what_stood_in_the_way(client: ContractClient, ids: dict[str, str], send: Send) -> None:
    base = client.get(f"/v1/walls/{ids['wall_id']}").json["version"]
    before = client.get(f"/v1/projects/{ids['project_id']}/survey").get_data()
    answer = send(of_wall(ids, "patch", base, name="Gable"), of_wall(ids, "patch", base, length_mm=0), query="?atomic=true")
    assert (answer.status_code, answer.json["type"]) == (409, "/docs#mutations-not-applied")
    assert [result["status"] for result in answer.json["results"]] == ["not_applied", "refused"]
    assert client.get(f"/v1/projects/{ids['project_id']}/survey").get_data() == before


def test_a_lost_answer_is_had_again_by_the_key_and_by_the_mutations_own_name(ids: dict[str, str], send: Send) -> None:
    wish = {
        "mutation_id": "m",
        "type": "project",
        "id": ids["project_id"],
        "op": "patch",
        "base_version": 99,
        "data": {"notes": "n"},
    }
    wish["base_version"] = send().json["results"] == [] and 1
    first = send(wish, headers={"Idempotency-Key": "batch-1"})
    again = send(wish, headers={"Idempotency-Key": "batch-1"})
    assert again.get_data() == first.get_data()
    assert again.headers["Idempotency-Replayed"] == "true"
    assert send(wish).json["results"][0]["status"] == "duplicate"


def test_more_at_once_than_may_be_is_refused(send: Send, ids: dict[str, str]) -> None:
    answer = send(*[of_wall(ids, "delete", 1) for _ in range(201)])
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == ["#/mutations"]
