"""Takeoffs as callers see them: with nothing set up, with everything set up, whole, in parts, narrowed down."""

import uuid
from typing import Any
from xml.etree import ElementTree

import pytest
from api_contract import ContractClient

from service.engine.parameters import PARAMETER_FIELDS

ANY = {"If-Match": "*"}
PARTS = {
    "schedule": "schedule",
    "cut_lists": "cut-lists",
    "layouts": "layouts",
    "thermal": "thermal",
    "cautions": "cautions",
}
ALL_PARTS = "?include=schedule,cut_lists,layouts,thermal,cautions"


def test_a_new_accounts_first_request_needs_nothing_but_a_survey(client: ContractClient, survey: dict[str, Any]) -> None:
    answer = client.post("/v1/takeoffs", json={"survey": survey})
    assert answer.status_code == 201
    takeoff = answer.json
    assert takeoff["status"] == "succeeded"
    assert takeoff["digest"].startswith("sha256:")
    assert set(takeoff["inputs"].values()) == {None}
    assert takeoff["options"] == {"pool": "project", "kerf_mm": 0, "allowances": {}, "offcuts": False}
    assert takeoff["totals"]["rooms"] == 1
    # one lined wall 4.2 × 2.7 less the window 1.2 × 1.2
    assert takeoff["totals"]["lined_area_m2"] == pytest.approx(4.2 * 2.7 - 1.2 * 1.2)
    assert takeoff["totals"]["net_price"] is None
    assert not {"schedule", "cut_lists", "layouts"} & takeoff.keys()
    assert client.get(answer.headers["Location"]).json == takeoff
    assert client.get("/v1/projects").json["items"] == []


def test_parts_embedded_are_the_parts_read_one_by_one(client: ContractClient, survey: dict[str, Any]) -> None:
    made = client.post(f"/v1/takeoffs{ALL_PARTS}", json={"survey": survey})
    path = made.headers["Location"]
    assert client.get(f"{path}{ALL_PARTS}").json == made.json
    for part, segment in PARTS.items():
        assert client.get(f"{path}/{segment}").json == made.json[part]
        assert client.get(f"{path}?include={part}").json.keys() & PARTS.keys() == {part}


@pytest.mark.parametrize("include", ["", "everything", "schedule,", "schedule,prices", "schedule cut_lists", "Schedule"])
def test_a_part_that_there_is_not_is_refused(client: ContractClient, survey: dict[str, Any], include: str) -> None:
    answer = client.post("/v1/takeoffs", query_string={"include": include}, json={"survey": survey})
    assert answer.status_code == 422
    assert [(fault["parameter"], fault["code"]) for fault in answer.json["errors"]] == [("include", "not_in_list")]
    assert client.get("/v1/takeoffs").json["items"] == []


def test_every_member_is_cut_exactly_once_and_the_schedule_counts_them_all(
    client: ContractClient, survey: dict[str, Any]
) -> None:
    takeoff = client.post(f"/v1/takeoffs{ALL_PARTS}", json={"survey": survey}).json
    members = {m["id"]: m for layout in takeoff["layouts"]["layouts"] for m in layout["members"]}
    cuts = [cut for bars in takeoff["cut_lists"]["bars"] for bar in bars["bars"] for cut in bar["cuts"]]
    assert sorted(cut["member_id"] for cut in cuts) == sorted(members)
    for cut in cuts:
        assert cut["length_mm"] == members[cut["member_id"]]["length_mm"]
    for line in takeoff["schedule"]["lines"]:
        lengths = [m["length_mm"] for m in members.values() if m["component"] == line["component"]]
        if lengths:
            assert line["net_quantity"] == pytest.approx(sum(lengths) / 1000, abs=0.005)


def test_a_specification_by_id_and_parameters_that_differ_are_both_used(client: ContractClient, survey: dict[str, Any]) -> None:
    own = client.post("/v1/specifications", json={"stud_centres_mm": 400, "stud_clearance_mm": 12}).json
    body = {"survey": survey, "specification_id": own["id"], "specification": {"stud_clearance_mm": 15}}
    takeoff = client.post("/v1/takeoffs", json=body).json
    assert takeoff["inputs"]["specification_id"] == own["id"]
    assert takeoff["inputs"]["specification_version"] == own["version"]
    used = client.get(f"/v1/takeoffs/{takeoff['id']}/inputs").json["parameters"]
    differing = {name: value for name, value in used.items() if value != PARAMETER_FIELDS[name].default}
    assert differing == {"stud_centres_mm": 400, "stud_clearance_mm": 15}


def test_a_catalogue_gives_article_numbers_and_prices(client: ContractClient, survey: dict[str, Any]) -> None:
    catalogue = client.post("/v1/catalogues", json={"currency": "EUR"}).json["id"]
    price = {"amount": "4.35", "currency": "EUR"}
    studs = {"sku": "INV-30", "component": "c_stud", "length_mm": 3000, "price": price, "pack_size": 10, "on_hand": 5}
    assert client.post(f"/v1/catalogues/{catalogue}/items", json=studs).status_code == 201
    takeoff = client.post("/v1/takeoffs?include=schedule", json={"survey": survey, "catalogue_id": catalogue}).json
    assert takeoff["inputs"]["catalogue_version"] == 2, "the catalogue and its item: two writes"
    (line,) = [line for line in takeoff["schedule"]["lines"] if line["component"] == "c_stud"]
    (entry,) = line["order"]
    assert (entry["sku"], entry["pack_size"], entry["quantity"]) == ("INV-30", 10, entry["packs"] * 10)
    assert entry["unit_price"] == price
    assert entry["price"] == {"amount": f"{entry['quantity'] * 4.35:.2f}", "currency": "EUR"}
    assert line["line_price"] == entry["price"]
    assert takeoff["totals"]["net_price"] is None
    assert "c_stud" not in takeoff["totals"]["unpriced"]
    assert "stock_short" in {finding["code"] for finding in takeoff["findings"]}


def test_a_project_is_taken_off_with_its_own_specification_and_catalogue_unless_told_otherwise(
    client: ContractClient, ids: dict[str, str]
) -> None:
    project = f"/v1/projects/{ids['project_id']}"
    own = {name: ids[name] for name in ("specification_id", "catalogue_id")}
    client.patch(project, json=own, headers=ANY)
    usual = client.post(f"{project}/takeoffs", json={}).json["inputs"]
    assert {name: usual[name] for name in own} == own
    assert usual["project_id"] == ids["project_id"]
    assert usual["survey_version"] == client.get(f"{project}/survey").json["version"]
    plain = client.post(f"{project}/takeoffs", json={"specification_id": None, "catalogue_id": None}).json["inputs"]
    assert (plain["specification_id"], plain["catalogue_id"]) == (None, None)


def test_a_survey_that_has_moved_on_is_not_taken_off(client: ContractClient, ids: dict[str, str]) -> None:
    project = f"/v1/projects/{ids['project_id']}"
    version = client.get(f"{project}/survey").json["version"]
    assert client.post(f"{project}/takeoffs", json={"survey_version": version}).status_code == 201
    client.patch(f"/v1/walls/{ids['wall_id']}", json={"length_mm": 4300}, headers=ANY)
    answer = client.post(f"{project}/takeoffs", json={"survey_version": version})
    assert answer.status_code == 409
    assert answer.json["survey_version"] == version + 1


def test_ids_in_the_answer_are_those_of_the_survey(client: ContractClient, ids: dict[str, str], survey: dict[str, Any]) -> None:
    project = client.get(f"/v1/takeoffs/{ids['takeoff_id']}/layouts").json["layouts"]
    assert [(layout["room_id"], layout["wall_id"]) for layout in project] == [(ids["room_id"], ids["wall_id"])]
    assert project[0]["openings"][0]["id"] == ids["opening_id"]
    own = str(uuid.uuid4())
    survey["rooms"][0]["walls"][0]["id"] = own
    first = client.post("/v1/takeoffs?include=layouts", json={"survey": survey}).json
    (layout,) = first["layouts"]["layouts"]
    assert layout["wall_id"] == own
    assert uuid.UUID(layout["room_id"]).version == 5, "made from the takeoff's id and the place"
    assert client.get(f"/v1/takeoffs/{first['id']}/layouts/{own}").json == layout


def test_equal_surveys_give_equal_digests_and_another_takeoff_each(client: ContractClient, survey: dict[str, Any]) -> None:
    first = client.post("/v1/takeoffs", json={"survey": survey}).json
    survey["rooms"][0]["name"] = "Another name"
    second = client.post("/v1/takeoffs", json={"survey": survey}).json
    survey["rooms"][0]["walls"][0]["length_mm"] += 1
    third = client.post("/v1/takeoffs", json={"survey": survey}).json
    assert first["id"] != second["id"]
    assert first["digest"] == second["digest"] != third["digest"]
    assert first["totals"] == second["totals"]


def test_parts_are_narrowed_to_a_room_a_wall_a_component(client: ContractClient, survey: dict[str, Any]) -> None:
    survey["rooms"].append({"name": "Back room", "ceiling_height_mm": 2400, "walls": [{"length_mm": 2500}, {"length_mm": 1800}]})
    made = client.post(f"/v1/takeoffs{ALL_PARTS}", json={"survey": survey}).json
    path = f"/v1/takeoffs/{made['id']}"
    layouts = made["layouts"]["layouts"]
    assert len(layouts) == 3
    room, wall = layouts[1]["room_id"], layouts[2]["wall_id"]
    assert client.get(f"{path}/layouts?room_id={room}").json["layouts"] == layouts[1:]
    assert client.get(f"{path}/layouts?wall_id={wall}").json["layouts"] == layouts[2:]
    assert client.get(f"{path}/layouts?room_id={uuid.uuid4()}").json["layouts"] == []
    lines = client.get(f"{path}/schedule?component=bracket").json["lines"]
    assert [line["component"] for line in lines] == ["bracket"]
    bars = client.get(f"{path}/cut-lists?component=u_channel&wall_id={wall}").json["bars"]
    assert {entry["component"] for entry in bars} == {"u_channel"}
    assert all(any(cut["wall_id"] == wall for cut in bar["cuts"]) for entry in bars for bar in entry["bars"])
    for wrong, code in (("room_id=1", "wrong_type"), ("component=nail", "not_in_list"), ("wall=1", "unknown_parameter")):
        answer = client.get(f"{path}/schedule?{wrong}")
        assert (answer.status_code, answer.json["errors"][0]["code"]) == (422, code)


def test_the_layout_of_one_wall_is_given_as_json_or_drawn(client: ContractClient, ids: dict[str, str]) -> None:
    path = f"/v1/takeoffs/{ids['takeoff_id']}/layouts/{ids['wall_id']}"
    for accept in (None, "*/*", "application/json", "application/*", "text/html, application/json;q=0.5"):
        answer = client.get(path, headers={} if accept is None else {"Accept": accept})
        assert answer.status_code == 200, accept
        assert answer.headers["Vary"] == "Accept"
    for accept, query in (
        ("image/svg+xml", ""),
        ("application/json;q=0.5, image/svg+xml", ""),
        ("application/json", "?format=svg"),
    ):
        answer = client.get(path + query, headers={"Accept": accept})
        assert (answer.status_code, answer.mimetype, answer.headers["Vary"]) == (200, "image/svg+xml", "Accept")
        drawing = ElementTree.fromstring(answer.data)
        words = " ".join(drawing.itertext())
        layout = client.get(path).json
        assert all(m["label"].rpartition("/")[2].replace("_", " ") in words for m in layout["members"])
        assert answer.headers["ETag"] != client.get(path).headers["ETag"]
        again = client.get(path + query, headers={"Accept": accept, "If-None-Match": answer.headers["ETag"]})
        assert (again.status_code, again.data) == (304, b"")
    assert client.get(f"{path}?format=json", headers={"Accept": "image/svg+xml"}).mimetype == "application/json"
    for accept in ("text/html", "application/json;q=0"):
        answer = client.get(path, headers={"Accept": accept})
        assert answer.status_code == 406, accept
        assert answer.headers["Vary"] == "Accept"
    assert client.get(f"/v1/takeoffs/{ids['takeoff_id']}/layouts/{ids['room_id']}").status_code == 404


def test_a_takeoff_never_changes_and_need_not_be_sent_again(client: ContractClient, ids: dict[str, str]) -> None:
    base = f"/v1/takeoffs/{ids['takeoff_id']}"
    for path in (
        base,
        *(f"{base}/{part}" for part in ("schedule", "cut-lists", "layouts", "inputs")),
        f"{base}/layouts/{ids['wall_id']}",
    ):
        tag = client.get(path).headers["ETag"]
        again = client.get(path, headers={"If-None-Match": tag})
        assert (again.status_code, again.get_data()) == (304, b""), path
        assert client.get(path.replace(ids["takeoff_id"], str(uuid.uuid4())), headers={"If-None-Match": tag}).status_code == 404
    for method in ("PUT", "PATCH", "DELETE"):
        assert client.open(base, method=method, json={}).status_code == 405


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({}, "#/survey"),
        ({"survey": {"rooms": []}, "options": {"kerf_mm": 21}}, "#/options/kerf_mm"),
        ({"survey": {"rooms": []}, "options": {"pool": "street"}}, "#/options/pool"),
        ({"survey": {"rooms": []}, "options": {"allowances": {"nail": 5}}}, "#/options/allowances/nail"),
        ({"survey": {"rooms": []}, "options": {"allowances": {"c_stud": 101}}}, "#/options/allowances/c_stud"),
        ({"survey": {"rooms": []}, "specification": {"stud_centers_mm": 600}}, "#/specification/stud_centers_mm"),
        ({"survey": {"rooms": []}, "specification": {"components": {"stud": "nail"}}}, "#/specification/components/stud"),
        ({"survey": {"rooms": []}, "survey_version": 1}, "#/survey_version"),
        ({"survey": {"rooms": []}, "specification_id": str(uuid.uuid4())}, "#/specification_id"),
        ({"survey": {"rooms": []}, "catalogue_id": str(uuid.uuid4())}, "#/catalogue_id"),
    ],
)
def test_what_a_takeoff_is_asked_for_is_checked_by_pointer(client: ContractClient, body: dict[str, Any], pointer: str) -> None:
    answer = client.post("/v1/takeoffs", json=body)
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == [pointer]


def test_options_change_what_is_cut_and_ordered(client: ContractClient, survey: dict[str, Any]) -> None:
    options = {"pool": "room", "kerf_mm": 3, "allowances": {"bracket": 10, "c_stud": 0}}
    takeoff = client.post(f"/v1/takeoffs{ALL_PARTS}", json={"survey": survey, "options": options}).json
    assert takeoff["options"] == {"pool": "room", "kerf_mm": 3, "allowances": {"bracket": 10}, "offcuts": False}
    assert {entry["kerf_mm"] for entry in takeoff["cut_lists"]["bars"]} == {3}
    assert None not in {entry["room_id"] for entry in takeoff["cut_lists"]["bars"]}
    allowed = {line["component"] for line in takeoff["schedule"]["lines"] if line["allowance_quantity"]}
    assert allowed == {"bracket"}


def test_an_empty_survey_is_taken_off_to_nothing(client: ContractClient) -> None:
    takeoff = client.post(f"/v1/takeoffs{ALL_PARTS}", json={"survey": {"rooms": []}}).json
    assert takeoff["totals"]["rooms"] == 0
    assert takeoff["schedule"] == {"lines": []}
    assert takeoff["layouts"] == {"layouts": []}
