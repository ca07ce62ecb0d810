"""Every fault of a request in one answer, each with its place in the body; and the bounds of a survey."""

import copy
import uuid
from collections.abc import Callable
from dataclasses import fields
from typing import Any
from urllib.parse import unquote

import pytest
from api_contract import Contract, ContractClient
from flask import Flask
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from jsonpointer import resolve_pointer

from service.api.app import create_app
from service.api.document import openapi_document
from service.api.schemas.survey import FEATURE as FEATURE_MEMBERS
from service.api.schemas.survey import OPENING as OPENING_MEMBERS
from service.api.schemas.survey import ROOM as ROOM_MEMBERS
from service.api.schemas.survey import WALL as WALL_MEMBERS
from service.config import Settings
from service.engine.parameters import NUMBERS, PARAMETER_FIELDS
from service.store.opening import open_database

WALL = {"length_mm": 4200}
ROOM = {"ceiling_height_mm": 2700}
OPENING = {"kind": "door", "offset_mm": 100, "width_mm": 800, "sill_mm": 0, "height_mm": 2000}
FEATURE = {"kind": "socket", "x_mm": 400, "y_mm": 450}

WRONG_SURVEY: dict[str, Any] = {
    "rooms": [
        {
            "ceiling_height_mm": 0,
            "colour/shade~1 é": "red",
            "walls": [
                {"length_mm": "4200", "corner_deg": 20, "lined": "yes"},
                {
                    "length_mm": 100_001,
                    "substrate": "straw",
                    "openings": [{**OPENING, "kind": "hatch", "width_mm": 0}, {"kind": "door"}],
                    "features": [{**FEATURE, "x_mm": -1, "mass_kg": -0.5}, 7],
                },
            ],
        },
        {"ceiling_height_mm": 2700.5, "floor": None, "walls": {}},
    ],
    "name": "not here",
}
FAULTS = {
    "#/rooms/0/ceiling_height_mm": "out_of_range",
    "#/rooms/0/colour~1shade~01%20%C3%A9": "unknown_member",
    "#/rooms/0/walls/0/length_mm": "wrong_type",
    "#/rooms/0/walls/0/corner_deg": "out_of_range",
    "#/rooms/0/walls/0/lined": "wrong_type",
    "#/rooms/0/walls/1/length_mm": "out_of_range",
    "#/rooms/0/walls/1/substrate": "not_in_list",
    "#/rooms/0/walls/1/openings/0/kind": "not_in_list",
    "#/rooms/0/walls/1/openings/0/width_mm": "out_of_range",
    "#/rooms/0/walls/1/openings/1/offset_mm": "required",
    "#/rooms/0/walls/1/openings/1/width_mm": "required",
    "#/rooms/0/walls/1/openings/1/sill_mm": "required",
    "#/rooms/0/walls/1/openings/1/height_mm": "required",
    "#/rooms/0/walls/1/features/0/x_mm": "out_of_range",
    "#/rooms/0/walls/1/features/0/mass_kg": "out_of_range",
    "#/rooms/0/walls/1/features/1": "wrong_type",
    "#/rooms/1/ceiling_height_mm": "wrong_type",
    "#/rooms/1/floor": "null",
    "#/rooms/1/walls": "wrong_type",
    "#/name": "unknown_member",
}

KNOWN = {"id", "walls", "openings", "features", *ROOM_MEMBERS, *WALL_MEMBERS, *OPENING_MEMBERS, *FEATURE_MEMBERS}


def faults_of(answer: Any) -> dict[str, str]:
    assert answer.status_code == 422, answer.get_data(as_text=True)
    listed = [(fault["pointer"], fault["code"]) for fault in answer.json["errors"]]
    assert len(dict(listed)) == len(listed), "each place once"
    return dict(listed)


def beneath(at: str) -> dict[str, str]:
    return {f"{at}{pointer[1:]}": code for pointer, code in FAULTS.items()}


def test_a_survey_is_told_all_that_is_wrong_with_it_wherever_it_is_sent(client: ContractClient, ids: dict[str, str]) -> None:
    project = f"/v1/projects/{ids['project_id']}"
    before = client.get(f"{project}/survey").get_data()
    assert faults_of(client.put(f"{project}/survey", json=WRONG_SURVEY, headers={"If-Match": "*"})) == FAULTS
    assert faults_of(client.post("/v1/takeoffs", json={"survey": WRONG_SURVEY})) == beneath("#/survey")
    wrong = {"survey": WRONG_SURVEY, "repeat": 0}
    assert faults_of(client.post("/v1/projects", json=wrong)) == {**beneath("#/survey"), "#/repeat": "out_of_range"}
    assert faults_of(client.put(project, json=wrong, headers={"If-Match": "*"})) == {
        **beneath("#/survey"),
        "#/repeat": "out_of_range",
    }
    assert client.get(f"{project}/survey").get_data() == before
    assert len(client.get("/v1/projects").json["items"]) == 1
    assert len(client.get("/v1/takeoffs").json["items"]) == 1


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    place=st.sampled_from(["rooms", "walls", "openings", "features"]),
    numbers=st.tuples(st.integers(0, 2), st.integers(0, 2), st.integers(0, 1)),
    member=st.text(st.characters(codec="utf-8", exclude_characters="\x00"), min_size=1, max_size=12),
)
def test_the_pointer_of_a_fault_leads_to_what_is_wrong(
    client: ContractClient, place: str, numbers: tuple[int, int, int], member: str
) -> None:
    wall = {**WALL, "openings": [dict(OPENING), dict(OPENING)], "features": [dict(FEATURE), dict(FEATURE)]}
    body = {"survey": {"rooms": [{**ROOM, "walls": [copy.deepcopy(wall) for _ in range(3)]} for _ in range(3)]}}
    room, number, k = numbers
    rows = {
        "rooms": body["survey"]["rooms"][room],
        "walls": body["survey"]["rooms"][room]["walls"][number],
        "openings": body["survey"]["rooms"][room]["walls"][number]["openings"][k],
        "features": body["survey"]["rooms"][room]["walls"][number]["features"][k],
    }
    mark = "the wrong one"
    assume(member not in KNOWN)
    rows[place][member] = mark
    answer = client.post("/v1/takeoffs", json=body)
    assert answer.status_code == 422
    (fault,) = answer.json["errors"]

    assert resolve_pointer(body, unquote(fault["pointer"][1:])) == mark


@pytest.mark.parametrize(
    ("setting", "build", "pointer"),
    [
        ("rooms_per_survey", lambda n: {"rooms": [ROOM] * n}, "#/survey/rooms"),
        ("walls_per_room", lambda n: {"rooms": [{**ROOM, "walls": [WALL] * n}]}, "#/survey/rooms/0/walls"),
        (
            "openings_per_wall",
            lambda n: {"rooms": [{**ROOM, "walls": [{**WALL, "lined": False, "openings": _apart(n)}]}]},
            "#/survey/rooms/0/walls/0/openings",
        ),
        (
            "features_per_wall",
            lambda n: {"rooms": [{**ROOM, "walls": [{**WALL, "features": [FEATURE] * n}]}]},
            "#/survey/rooms/0/walls/0/features",
        ),
    ],
)
def test_a_survey_may_be_as_large_as_the_settings_say_and_no_larger(
    client: ContractClient, setting: str, build: Callable[[int], Any], pointer: str
) -> None:
    most = getattr(Settings(), setting)
    assert client.post("/v1/projects", json={"survey": build(most)}).status_code == 201
    assert faults_of(client.post("/v1/projects", json={"survey": build(most + 1)})) == {pointer: "too_long"}
    assert faults_of(client.post("/v1/takeoffs", json={"survey": build(most + 1)})) == {pointer: "too_long"}


@pytest.mark.parametrize(
    ("setting", "collection", "single", "parent", "body"),
    [
        ("rooms_per_survey", "/v1/projects/{project_id}/rooms", "/v1/rooms", "project_id", ROOM),
        ("walls_per_room", "/v1/rooms/{room_id}/walls", "/v1/walls", "room_id", WALL),
        ("openings_per_wall", "/v1/walls/{wall_id}/openings", "/v1/openings", "wall_id", OPENING),
        ("features_per_wall", "/v1/walls/{wall_id}/features", "/v1/features", "wall_id", FEATURE),
    ],
)
def test_what_is_made_one_by_one_has_the_same_bounds(
    client: ContractClient, ids: dict[str, str], app: Flask, sqlite_url: str, setting: str, collection: str, single: str,
    parent: str, body: dict[str, Any],
) -> None:  # fmt: skip
    there = len(client.get(collection.format(**ids)).json["items"])
    app.extensions["database"] = open_database(Settings(database_url=sqlite_url, **{setting: there + 1}))
    path, named = collection.format(**ids), {**body, parent: ids[parent]}
    last = client.post(path, json=body)
    assert last.status_code == 201
    own = f"{single}/{uuid.uuid4()}"
    for answer in (client.post(path, json=body), client.put(own, json=named)):
        assert (answer.status_code, answer.json["type"], answer.json["most"]) == (409, "/docs#bound-reached", there + 1)
    assert client.put(last.headers["Location"], json=named, headers={"If-Match": "*"}).status_code == 200, "nothing more"
    assert client.delete(last.headers["Location"], headers={"If-Match": "*"}).status_code == 204
    assert client.put(own, json=named).status_code == 201, "what is deleted does not count"
    app.extensions["database"].close()


def _apart(number: int) -> list[dict[str, Any]]:
    return [{**OPENING, "offset_mm": 200 * k, "width_mm": 100} for k in range(number)]


def test_the_bounds_stand_in_the_document(contract: Contract) -> None:
    shapes = contract.document["components"]["schemas"]
    assert shapes["Survey"]["properties"]["rooms"]["maxItems"] == 200
    assert shapes["RoomInSurvey"]["properties"]["walls"]["maxItems"] == 60
    assert shapes["WallInSurvey"]["properties"]["openings"]["maxItems"] == 20
    assert shapes["WallInSurvey"]["properties"]["features"]["maxItems"] == 50
    length = shapes["WallCreate"]["properties"]["length_mm"]
    assert (length["minimum"], length["maximum"]) == (1, 100_000)
    told = " ".join(contract.document["info"]["description"].split())
    for bound in ("5,000,000 bytes", "32 deep", "200 rooms a survey", "60 walls a room", "20 openings and 50 features a wall"):
        assert bound in told


@pytest.mark.parametrize("value", [1, 100_000])
def test_lengths_may_be_anything_from_a_millimetre_to_a_hundred_metres(client: ContractClient, value: int) -> None:
    survey = {"rooms": [{"ceiling_height_mm": value, "walls": [{"length_mm": value}]}]}
    assert client.post("/v1/projects", json={"survey": survey}).status_code == 201


@pytest.mark.parametrize("name", NUMBERS)
def test_a_parameter_is_refused_outside_its_range_by_its_own_name(client: ContractClient, name: str) -> None:
    bounds = NUMBERS[name].metadata
    for wrong in (bounds["least"] - 1, bounds["most"] + 1):
        assert faults_of(client.post("/v1/specifications", json={name: wrong})) == {f"#/{name}": "out_of_range"}
        takeoff = {"survey": {"rooms": []}, "specification": {name: wrong}}
        assert faults_of(client.post("/v1/takeoffs", json=takeoff)) == {f"#/specification/{name}": "out_of_range"}


@pytest.mark.parametrize("wrong", [1, 0, "true", []])
def test_a_parameter_that_is_true_or_false_is_nothing_else(client: ContractClient, wrong: Any) -> None:
    assert faults_of(client.post("/v1/specifications", json={"board_turning": wrong})) == {"#/board_turning": "wrong_type"}
    made = client.post("/v1/specifications", json={"board_turning": True}).json
    assert (made["board_turning"], client.post("/v1/specifications", json={}).json["board_turning"]) == (True, False)


def test_parameters_that_cannot_go_together_are_refused_by_pointer(client: ContractClient, ids: dict[str, str]) -> None:
    # least offset: stud depth 20 + insulation 120 = 140, over the default 100
    thick = {"insulation_thickness_mm": 120}
    assert list(faults_of(client.post("/v1/specifications", json=thick))) == ["#/frame_offset_mm"]
    path = f"/v1/specifications/{ids['specification_id']}"
    assert list(faults_of(client.patch(path, json=thick, headers={"If-Match": "*"}))) == ["#/frame_offset_mm"]
    takeoff = {"survey": {"rooms": []}, "specification": thick}
    assert list(faults_of(client.post("/v1/takeoffs", json=takeoff))) == ["#/specification/frame_offset_mm"]
    assert client.get(path).json["insulation_thickness_mm"] == 80


def test_each_parameter_is_documented_with_its_range_default_and_unit(contract: Contract) -> None:
    shape = contract.document["components"]["schemas"]["SpecificationCreate"]["properties"]
    for name, f in PARAMETER_FIELDS.items():
        bounds = (f.metadata["least"], f.metadata["most"]) if name in NUMBERS else (None, None)
        assert (shape[name].get("minimum"), shape[name].get("maximum")) == bounds, name
        assert shape[name]["default"] == f.default, name
        assert f.metadata["text"][1:] in shape[name]["description"], name
        assert ("(mm, " in shape[name]["description"]) is name.endswith("_mm"), name


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"sku": ""}, "#/sku"),
        ({"sku": None}, "#/sku"),
        ({"component": "nail"}, "#/component"),
        ({"length_mm": None}, "#/length_mm"),
        ({"pack_size": 0}, "#/pack_size"),
        ({"price": "4.35"}, "#/price"),
        ({"price": {"amount": 4.35, "currency": "GBP"}}, "#/price/amount"),
        ({"price": {"amount": "-4.35", "currency": "GBP"}}, "#/price/amount"),
        ({"price": {"amount": "4,35", "currency": "GBP"}}, "#/price/amount"),
        ({"price": {"amount": "٤", "currency": "GBP"}}, "#/price/amount"),
        ({"price": {"amount": "4.35", "currency": "gbp"}}, "#/price/currency"),
        ({"price": {"amount": "4.35"}}, "#/price/currency"),
        ({"price": {"amount": "4.35", "currency": "EUR"}}, "#/price/currency"),
        ({"mass_kg": -1}, "#/mass_kg"),
        ({"on_hand": 1.5}, "#/on_hand"),
    ],
)
def test_an_item_that_makes_no_sense_is_refused(
    client: ContractClient, ids: dict[str, str], change: dict[str, Any], pointer: str
) -> None:
    item = {"sku": "INV-2", "component": "c_stud", "length_mm": 3000, **change}
    assert list(faults_of(client.post(f"/v1/catalogues/{ids['catalogue_id']}/items", json=item))) == [pointer]


def test_the_bounds_are_those_of_the_running_services_settings(sqlite_database: Any, app: Flask) -> None:
    names = {field.name for field in fields(Settings)}
    assert {"rooms_per_survey", "walls_per_room", "openings_per_wall", "features_per_wall", "body_bytes"} <= names
    small = create_app(Settings(rooms_per_survey=3, body_bytes=1000, log_level="CRITICAL"), sqlite_database)
    document = openapi_document(small)
    assert document["components"]["schemas"]["Survey"]["properties"]["rooms"]["maxItems"] == 3
    assert "1,000 bytes" in document["info"]["description"]
