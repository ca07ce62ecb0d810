"""A whole survey in one document: ids kept, made and ended, order on site, findings, and nothing half-saved."""

import uuid
from typing import Any

import pytest
from api_contract import ContractClient

ANY = {"If-Match": "*"}


@pytest.fixture
def path(ids: dict[str, str]) -> str:
    return f"/v1/projects/{ids['project_id']}/survey"


def test_what_was_read_can_be_put_back_and_changes_nothing(client: ContractClient, path: str) -> None:
    read = client.get(path)
    again = client.put(path, json=read.json, headers={"If-Match": read.headers["ETag"]})
    assert (again.status_code, again.json, again.headers["ETag"]) == (200, read.json, read.headers["ETag"])


def test_the_document_keeps_the_ids_it_names_makes_the_others_and_ends_the_rest(
    client: ContractClient, path: str, ids: dict[str, str]
) -> None:
    own = str(uuid.uuid4())
    window = {"id": ids["opening_id"], "kind": "window", "offset_mm": 900, "width_mm": 600, "sill_mm": 900, "height_mm": 900}
    walls = [{"length_mm": 2000, "id": own}, {"id": ids["wall_id"], "length_mm": 4300, "openings": [window]}]
    body = {"rooms": [{"ceiling_height_mm": 2500}, {"id": ids["room_id"], "ceiling_height_mm": 2700, "walls": walls}]}
    after = client.put(path, json=body, headers=ANY)
    assert after.status_code == 200
    new, kept = after.json["rooms"]
    assert kept["id"] == ids["room_id"] != new["id"]
    assert [wall["id"] for wall in kept["walls"]] == [own, ids["wall_id"]]
    assert kept["walls"][1]["openings"][0]["offset_mm"] == 900
    assert client.get(f"/v1/features/{ids['feature_id']}").status_code == 410
    assert client.get(path).json == after.json


def test_the_order_of_the_lists_is_the_order_on_site(client: ContractClient, path: str) -> None:
    lengths = [3000, 1000, 2000, 500]
    body = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": length} for length in lengths]}]}
    rooms = client.put(path, json=body, headers=ANY).json["rooms"]
    rooms[0]["walls"].reverse()
    turned = client.put(path, json={"rooms": rooms}, headers=ANY).json["rooms"]
    assert [wall["length_mm"] for wall in turned[0]["walls"]] == lengths[::-1]
    assert [wall["id"] for wall in turned[0]["walls"]] == [wall["id"] for wall in rooms[0]["walls"]]
    listed = client.get(f"/v1/rooms/{turned[0]['id']}/walls").json["items"]
    assert [wall["length_mm"] for wall in listed] == lengths[::-1]


def test_a_change_beneath_makes_the_surveys_version_stale(client: ContractClient, path: str, ids: dict[str, str]) -> None:
    read = client.get(path)
    assert client.get(path, headers={"If-None-Match": read.headers["ETag"]}).status_code == 304
    client.patch(f"/v1/openings/{ids['opening_id']}", json={"sill_mm": 905}, headers=ANY)
    assert client.get(path, headers={"If-None-Match": read.headers["ETag"]}).status_code == 200
    assert client.put(path, json={"rooms": []}, headers={"If-Match": read.headers["ETag"]}).status_code == 412
    assert client.put(path, json={"rooms": []}).status_code == 428
    assert client.get(f"/v1/rooms/{ids['room_id']}").status_code == 200


def test_ids_given_twice_or_of_another_project_or_kind_or_deleted_are_refused_by_pointer(
    client: ContractClient, path: str, ids: dict[str, str]
) -> None:
    elsewhere = client.post("/v1/projects", json={"survey": {"rooms": [{"ceiling_height_mm": 2400}]}}).json["id"]
    foreign = client.get(f"/v1/projects/{elsewhere}/survey").json["rooms"][0]["id"]
    client.delete(f"/v1/features/{ids['feature_id']}", headers=ANY)
    wall = {"length_mm": 1000}
    feature = {"kind": "socket", "x_mm": 1, "y_mm": 1}
    body = {
        "rooms": [
            {"id": foreign, "ceiling_height_mm": 2400},
            {"id": ids["wall_id"], "ceiling_height_mm": 2400},
            {
                "id": ids["room_id"],
                "ceiling_height_mm": 2400,
                "walls": [{**wall, "features": [{**feature, "id": ids["feature_id"]}]}],
            },
            {"id": ids["room_id"], "ceiling_height_mm": 2400},
        ]
    }
    before = client.get(path).get_data()
    answer = client.put(path, json=body, headers=ANY)
    assert answer.status_code == 422
    assert {fault["pointer"] for fault in answer.json["errors"]} == {
        "#/rooms/0/id",
        "#/rooms/1/id",
        "#/rooms/2/walls/0/features/0/id",
        "#/rooms/3/id",
    }
    assert client.get(path).get_data() == before


def test_geometry_that_cannot_be_is_saved_shown_as_findings_and_refused_at_takeoff(
    client: ContractClient, path: str, ids: dict[str, str]
) -> None:
    door = {"kind": "door", "width_mm": 800, "sill_mm": 0, "height_mm": 2000}
    walls = [{"length_mm": 2000, "openings": [{**door, "offset_mm": 1500}, {**door, "offset_mm": 900}]}]
    saved = client.put(path, json={"rooms": [{"ceiling_height_mm": 2400, "walls": walls}]}, headers=ANY)
    assert saved.status_code == 200
    wall = saved.json["rooms"][0]["walls"][0]
    first, second = (opening["id"] for opening in wall["openings"])
    # the first reaches 1500 + 800 - 2000 = 300 past the wall; the second, 900 to 1700, overlaps it
    expected = {("opening_outside_wall", first), ("openings_overlap", second)}
    found = {(finding["code"], finding["opening_id"]) for finding in saved.json["findings"]}
    assert found == expected
    assert client.get(path).json["findings"] == saved.json["findings"]

    refused = client.post(f"/v1/projects/{ids['project_id']}/takeoffs", json={})
    assert refused.status_code == 422
    assert refused.json["type"] == "/docs#invalid-geometry"
    assert {(fault["code"], fault["opening_id"]) for fault in refused.json["errors"]} == expected
    for fault in refused.json["errors"]:
        assert fault["pointer"].startswith("#/rooms/0/walls/0/openings/")
        assert fault["wall_id"] == wall["id"]

    inline = client.post("/v1/takeoffs", json={"survey": {"rooms": saved.json["rooms"]}})
    assert inline.status_code == 422
    assert {fault["pointer"][: len("#/survey/rooms/0/walls/0/openings/0")] for fault in inline.json["errors"]} == {
        f"#/survey/rooms/0/walls/0/openings/{k}" for k in (0, 1)
    }


def test_a_loop_that_does_not_close_is_a_finding_and_the_takeoff_is_made(client: ContractClient, ids: dict[str, str]) -> None:
    walls = [{"length_mm": length} for length in (4000, 3000, 4000, 2900)]  # misses its start by 100
    survey: dict[str, Any] = {"rooms": [{"ceiling_height_mm": 2400, "closed": True, "walls": walls}]}
    made = client.post("/v1/takeoffs", json={"survey": survey})
    assert made.status_code == 201
    assert [finding["code"] for finding in made.json["findings"] if finding["severity"] == "error"] == ["loop_not_closed"]
    saved = client.put(f"/v1/projects/{ids['project_id']}/survey", json=survey, headers=ANY).json
    assert [(finding["code"], finding["room_id"]) for finding in saved["findings"]] == [
        ("loop_not_closed", saved["rooms"][0]["id"])
    ]


def test_a_project_comes_with_its_survey_or_not_at_all(client: ContractClient, survey: dict[str, Any]) -> None:
    wrong = {**survey, "rooms": [*survey["rooms"], {"ceiling_height_mm": 0}]}
    assert client.post("/v1/projects", json={"reference": "INV-7", "survey": wrong}).status_code == 422
    assert client.get("/v1/projects?reference=INV-7").json["items"] == []
    own = f"/v1/projects/{uuid.uuid4()}"
    made = client.put(own, json={"reference": "INV-7", "survey": survey})
    assert made.status_code == 201
    read = client.get(f"{own}/survey")
    assert read.json["rooms"][0]["walls"][0]["length_mm"] == 4200
    again = client.put(own, json={"reference": "INV-7"}, headers={"If-Match": made.headers["ETag"]})
    assert again.status_code == 200
    assert client.get(f"{own}/survey").json == read.json, "a project without a survey in its body keeps the one it has"
