"""The six verbs of every stored resource, and what versions and preconditions do to them."""

import uuid
from typing import Any

import pytest
from api_contract import ContractClient
from stored_kinds import KINDS, Kind

every_kind = pytest.mark.parametrize("kind", KINDS, ids=[kind.name for kind in KINDS])
ANY = {"If-Match": "*"}


def made(client: ContractClient, kind: Kind, ids: dict[str, str]) -> Any:
    answer = client.post(kind.collection.format(**ids), json=kind.body)
    assert answer.status_code == 201, answer.get_data(as_text=True)
    return answer


def at(kind: Kind, ids: dict[str, str], id: str) -> str:
    return kind.single.format(**ids, id=id)


@every_kind
def test_what_is_made_is_read_back_from_where_location_says(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = made(client, kind, ids)
    assert kind.body.items() <= answer.json.items()
    assert answer.headers["Location"] == at(kind, ids, answer.json["id"])
    read = client.get(answer.headers["Location"])
    assert read.json == answer.json
    assert read.headers["ETag"] == answer.headers["ETag"] == f'"v{read.json["version"]}"'
    assert uuid.UUID(read.json["id"]).version == 7
    assert read.json["created_at"] == read.json["updated_at"]
    assert read.json["created_at"].endswith("Z")


@every_kind
def test_what_is_made_stands_in_its_list(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = made(client, kind, ids)
    assert answer.json in client.get(kind.collection.format(**ids)).json["items"]


@every_kind
def test_put_under_an_id_of_ones_own_makes_then_replaces(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    path = at(kind, ids, str(uuid.uuid4()))
    first = client.put(path, json=kind.put_body(ids))
    assert first.status_code == 201
    assert first.headers["Location"] == path
    assert client.get(path).json == first.json

    second = client.put(path, json=kind.put_body(ids, **kind.change), headers={"If-Match": first.headers["ETag"]})
    assert second.status_code == 200
    assert kind.change.items() <= second.json.items()
    assert second.json["version"] > first.json["version"]
    assert second.json["created_at"] == first.json["created_at"]


@every_kind
def test_put_puts_back_to_their_defaults_the_members_it_leaves_out(
    client: ContractClient, ids: dict[str, str], kind: Kind
) -> None:
    path = made(client, kind, ids).headers["Location"]
    body = {name: value for name, value in kind.put_body(ids).items() if name != kind.reset}
    assert client.put(path, json=body, headers=ANY).json[kind.reset] == kind.reset_to


@every_kind
def test_an_answer_can_be_sent_back_as_it_came(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = made(client, kind, ids)
    again = client.put(answer.headers["Location"], json=answer.json, headers={"If-Match": answer.headers["ETag"]})
    assert again.status_code == 200
    assert again.json == answer.json, "nothing changed, so nothing was written"


@every_kind
def test_put_of_a_body_with_another_id_than_the_path_is_refused(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = client.put(at(kind, ids, str(uuid.uuid4())), json=kind.put_body(ids, id=str(uuid.uuid4())))
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json["errors"]] == [("#/id", "other_id")]


@every_kind
def test_patch_changes_what_it_names_and_nothing_else(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    before = made(client, kind, ids)
    after = client.patch(before.headers["Location"], json=kind.change, headers={"If-Match": before.headers["ETag"]})
    assert after.status_code == 200
    moved = {"version", "updated_at"}
    assert {name for name in after.json if after.json[name] != before.json[name]} == moved | set(kind.change)
    assert client.get(before.headers["Location"]).json == after.json


@every_kind
def test_null_in_a_patch_puts_a_member_back_to_its_default(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    path = made(client, kind, ids).headers["Location"]
    after = client.patch(path, json={kind.reset: None}, headers=ANY)
    assert after.status_code == 200
    assert after.json[kind.reset] == kind.reset_to


@every_kind
def test_what_is_deleted_is_gone_and_stays_gone(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = made(client, kind, ids)
    path, id = answer.headers["Location"], answer.json["id"]
    assert client.delete(path, headers={"If-Match": answer.headers["ETag"]}).status_code == 204
    assert client.get(path).status_code == 410
    assert client.put(path, json=kind.put_body(ids), headers=ANY).status_code == 410
    assert client.put(path, json=kind.put_body(ids)).status_code == 410
    assert client.patch(path, json=kind.change, headers=ANY).status_code == 410
    assert id not in [entry["id"] for entry in client.get(kind.collection.format(**ids)).json["items"]]


CHANGES = ["PUT", "PATCH", "DELETE"]


def change(client: ContractClient, method: str, kind: Kind, ids: dict[str, str], path: str, headers: dict[str, str]) -> Any:
    body = {"PUT": kind.put_body(ids, **kind.change), "PATCH": kind.change, "DELETE": None}[method]
    return client.open(path, method=method, headers=headers, **({} if body is None else {"json": body}))


@every_kind
@pytest.mark.parametrize("method", CHANGES)
def test_a_change_must_say_which_version_it_changes(client: ContractClient, ids: dict[str, str], kind: Kind, method: str) -> None:
    first = made(client, kind, ids)
    path = first.headers["Location"]
    assert change(client, method, kind, ids, path, {}).status_code == 428
    second = client.patch(path, json={kind.reset: None}, headers=ANY)
    stale, fresh = first.headers["ETag"], second.headers["ETag"]
    assert stale != fresh
    for tag in (stale, f"W/{fresh}", '"v999999999"', '"x"', f"{stale}, {stale}"):
        answer = change(client, method, kind, ids, path, {"If-Match": tag})
        assert answer.status_code == 412, tag
    assert change(client, method, kind, ids, path, {"If-None-Match": "*"}).status_code == 412
    assert client.get(path).json == second.json
    assert change(client, method, kind, ids, path, {"If-Match": f"{stale}, {fresh}"}).status_code in (200, 204)


@every_kind
def test_a_request_whose_effect_already_stands_succeeds_whatever_its_precondition(
    client: ContractClient, ids: dict[str, str], kind: Kind
) -> None:
    first = made(client, kind, ids)
    path = first.headers["Location"]
    lost = {"If-Match": first.headers["ETag"]}
    patched = client.patch(path, json=kind.change, headers=lost)
    put = kind.put_body(ids, **kind.change)
    for headers in (lost, {}, ANY, {"If-Match": '"v999999999"'}):
        again = client.patch(path, json=kind.change, headers=headers)
        assert (again.status_code, again.json) == (200, patched.json)
        replaced = client.put(path, json=put, headers=headers)
        assert (replaced.status_code, replaced.json) == (200, patched.json)
    assert client.delete(path, headers=ANY).status_code == 204
    for headers in (lost, {}, ANY):
        assert client.delete(path, headers=headers).status_code == 204


@every_kind
def test_put_can_be_told_only_to_make(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    path = at(kind, ids, str(uuid.uuid4()))
    only_new = {"If-None-Match": "*"}
    assert client.put(path, json=kind.put_body(ids), headers=only_new).status_code == 201
    assert client.put(path, json=kind.put_body(ids, **kind.change), headers=only_new).status_code == 412


@every_kind
def test_put_of_what_the_caller_believes_to_exist_does_not_make_it(
    client: ContractClient, ids: dict[str, str], kind: Kind
) -> None:
    path = at(kind, ids, str(uuid.uuid4()))
    for tag in ('"v1"', "*"):
        assert client.put(path, json=kind.put_body(ids), headers={"If-Match": tag}).status_code == 412
    assert client.get(path).status_code == 404


@every_kind
def test_what_the_caller_already_has_is_not_sent_again(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    answer = made(client, kind, ids)
    path, tag = answer.headers["Location"], answer.headers["ETag"]
    for known in (tag, f"W/{tag}", f'"x", {tag}', "*"):
        read = client.get(path, headers={"If-None-Match": known})
        assert read.status_code == 304, known
        assert read.get_data() == b""
        assert read.headers["ETag"] == tag
    for unknown in ('"v0"', '"x"', 'W/"y"'):
        assert client.get(path, headers={"If-None-Match": unknown}).status_code == 200, unknown


@pytest.mark.parametrize("header", ["v7", '"v7', "'v7'", '"v7" "v8"', "*, *", ",", ""])
def test_a_header_that_is_no_list_of_tags_is_refused(client: ContractClient, ids: dict[str, str], header: str) -> None:
    path = f"/v1/rooms/{ids['room_id']}"
    for method, name in (("GET", "If-None-Match"), ("PATCH", "If-Match")):
        answer = client.open(path, method=method, headers={name: header}, **({"json": {}} if method == "PATCH" else {}))
        assert answer.status_code == 400, name
        assert answer.json["errors"][0]["parameter"] == name


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.parent], ids=lambda kind: kind.name)
def test_a_parent_never_changes(client: ContractClient, ids: dict[str, str], kind: Kind) -> None:
    assert kind.parent is not None
    path = made(client, kind, ids).headers["Location"]
    other_room = client.post(f"/v1/projects/{ids['project_id']}/rooms", json={"ceiling_height_mm": 2400}).json["id"]
    other = {
        "project_id": client.post("/v1/projects", json={}).json["id"],
        "room_id": other_room,
        "wall_id": client.post(f"/v1/rooms/{other_room}/walls", json={"length_mm": 900}).json["id"],
    }[kind.parent]
    assert client.put(path, json=kind.put_body(ids, **{kind.parent: other}), headers=ANY).status_code == 409
    assert client.patch(path, json={kind.parent: other}, headers=ANY).status_code == 409
    assert client.patch(path, json={kind.parent: ids[kind.parent], **kind.change}, headers=ANY).status_code == 200


def test_an_item_is_found_only_under_its_own_catalogue(client: ContractClient, ids: dict[str, str]) -> None:
    other = client.post("/v1/catalogues", json={}).json["id"]
    path = f"/v1/catalogues/{other}/items/{ids['item_id']}"
    assert client.get(path).status_code == 404
    assert client.patch(path, json={"on_hand": 1}, headers=ANY).status_code == 404
    assert client.delete(path, headers=ANY).status_code == 404
    assert client.get(f"/v1/catalogues/{ids['catalogue_id']}/items/{ids['item_id']}").status_code == 200


def test_a_room_or_wall_with_children_is_deleted_only_with_them(client: ContractClient, ids: dict[str, str]) -> None:
    wall, room = f"/v1/walls/{ids['wall_id']}", f"/v1/rooms/{ids['room_id']}"
    kept = client.delete(wall, headers=ANY)
    assert kept.status_code == 409
    assert {(child["type"], child["id"]) for child in kept.json["children"]} == {
        ("opening", ids["opening_id"]),
        ("feature", ids["feature_id"]),
    }
    assert client.delete(f"{wall}?with_children=false", headers=ANY).status_code == 409
    assert client.delete(f"{wall}?with_children=yes", headers=ANY).status_code == 422
    assert client.delete(f"{wall}?with_children=true", headers=ANY).status_code == 204
    assert client.get(f"/v1/openings/{ids['opening_id']}").status_code == 410
    assert client.delete(f"{room}?with_children=true", headers=ANY).status_code == 204
    assert client.get(f"/v1/projects/{ids['project_id']}/survey").json["rooms"] == []


def test_a_project_takes_its_survey_with_it(client: ContractClient, ids: dict[str, str]) -> None:
    assert client.delete(f"/v1/projects/{ids['project_id']}", headers=ANY).status_code == 204
    for path in ("/v1/rooms/{room_id}", "/v1/walls/{wall_id}", "/v1/openings/{opening_id}", "/v1/projects/{project_id}/survey"):
        assert client.get(path.format(**ids)).status_code == 410, path
    assert client.get(f"/v1/takeoffs/{ids['takeoff_id']}").status_code == 200, "what was taken off stays"


def test_a_specification_or_catalogue_in_use_is_kept(client: ContractClient, ids: dict[str, str]) -> None:
    used = {name: ids[name] for name in ("specification_id", "catalogue_id")}
    assert client.patch(f"/v1/projects/{ids['project_id']}", json=used, headers=ANY).status_code == 200
    for path in ("/v1/specifications/{specification_id}", "/v1/catalogues/{catalogue_id}"):
        answer = client.delete(path.format(**ids), headers=ANY)
        assert answer.status_code == 409
        assert answer.json["used_by"] == [{"type": "project", "id": ids["project_id"]}]


def test_components_of_a_specification_are_merged_role_by_role(client: ContractClient, ids: dict[str, str]) -> None:
    path = f"/v1/specifications/{ids['specification_id']}"
    first = client.patch(path, json={"components": {"rail": "u_channel"}}, headers=ANY).json["components"]
    assert (first["rail"], first["stud"]) == ("u_channel", "c_stud")
    second = client.patch(path, json={"components": {"opening_rail": "u_channel"}}, headers=ANY).json["components"]
    assert (second["rail"], second["opening_rail"]) == ("u_channel", "u_channel")
    third = client.patch(path, json={"components": {"rail": None}}, headers=ANY).json["components"]
    assert (third["rail"], third["opening_rail"]) == ("c_stud", "u_channel")
    assert client.patch(path, json={"components": {"roof": "c_stud"}}, headers=ANY).json["errors"][0]["pointer"] == (
        "#/components/roof"
    )


def test_every_row_of_a_project_has_a_number_of_its_own(client: ContractClient, ids: dict[str, str]) -> None:
    paths = ("/v1/rooms/{room_id}", "/v1/walls/{wall_id}", "/v1/openings/{opening_id}", "/v1/features/{feature_id}")
    versions = [client.get(path.format(**ids)).json["version"] for path in paths]
    assert len(set(versions)) == len(versions)
    survey = client.get(f"/v1/projects/{ids['project_id']}/survey").json
    assert survey["version"] >= max(versions)
    client.patch(f"/v1/walls/{ids['wall_id']}", json={"length_mm": 4201}, headers=ANY)
    assert client.get(f"/v1/walls/{ids['wall_id']}").json["version"] == survey["version"] + 1
    assert client.get(f"/v1/projects/{ids['project_id']}/survey").json["version"] == survey["version"] + 1
