"""Offcuts: which sizes each component has, lists by component and state."""

from typing import Any

import pytest
from api_contract import ContractClient


@pytest.mark.parametrize(
    ("sent", "faults"),
    [
        ({"component": "c_stud"}, {"#/length_mm": "required"}),
        ({"component": "c_stud", "length_mm": 0}, {"#/length_mm": "out_of_range"}),
        ({"component": "c_stud", "length_mm": 900, "width_mm": 48}, {"#/width_mm": "out_of_range"}),
        ({"component": "plasterboard", "length_mm": 900}, {"#/width_mm": "required"}),
        ({"component": "sealant", "length_mm": 900}, {"#/component": "not_in_list"}),
        ({"length_mm": 900}, {"#/component": "required"}),
        ({"component": "c_stud", "length_mm": 900, "state": "reserved"}, {"#/state": "unknown_member"}),
    ],
)
def test_an_offcut_without_the_sizes_of_its_component_is_refused(
    client: ContractClient, sent: dict[str, Any], faults: dict[str, str]
) -> None:
    answer = client.post("/v1/offcuts", json=sent)
    assert answer.status_code == 422
    assert {fault["pointer"]: fault["code"] for fault in answer.json["errors"]} == faults


def test_a_new_offcut_is_available_and_nobodys(client: ContractClient) -> None:
    made = client.post("/v1/offcuts", json={"component": "c_stud", "length_mm": 900}).json
    assert (made["state"], made["takeoff_id"], made["from_takeoff_id"]) == ("available", None, None)
    path = f"/v1/offcuts/{made['id']}"
    other = {**made, "state": "reserved", "takeoff_id": made["id"], "length_mm": 800}
    put = client.put(path, json=other, headers={"If-Match": "*"})
    assert (put.status_code, put.json["length_mm"], put.json["state"], put.json["takeoff_id"]) == (200, 800, "available", None)
    patched = client.patch(path, json={"component": "plasterboard"}, headers={"If-Match": "*"})
    assert [fault["pointer"] for fault in patched.json["errors"]] == ["#/width_mm"]


def test_lists_are_narrowed_by_component_and_state(client: ContractClient) -> None:
    for component, width in (("c_stud", None), ("plasterboard", 600), ("c_stud", None)):
        client.post("/v1/offcuts", json={"component": component, "length_mm": 900, "width_mm": width})

    def count(query: str) -> int:
        return len(client.get(f"/v1/offcuts?{query}").json["items"])

    assert [count(q) for q in ("", "component=c_stud", "component=plasterboard&state=available", "state=reserved")] == [
        3,
        2,
        1,
        0,
    ]
    assert client.get("/v1/offcuts?state=lost").status_code == 422


def _take_off(client: ContractClient, survey: dict[str, Any], offcuts: Any) -> Any:
    return client.post("/v1/takeoffs?include=schedule,cut_lists", json={"survey": survey, "options": {"offcuts": offcuts}})


def test_a_takeoff_is_confirmed_read_and_released(client: ContractClient, survey: dict[str, Any]) -> None:
    offcut = client.post("/v1/offcuts", json={"component": "u_channel", "length_mm": 2990}).json["id"]
    made = _take_off(client, survey, [offcut])
    assert (made.status_code, made.json["options"]["offcuts"]) == (201, [offcut])
    inputs = client.get(f"/v1/takeoffs/{made.json['id']}/inputs").json
    assert inputs["offcuts"] == [
        {"id": offcut, "component": "u_channel", "sku": None, "length_mm": 2990, "width_mm": None, "thickness_mm": None}
    ]
    path = f"/v1/takeoffs/{made.json['id']}/confirmation"
    assert client.get(path).status_code == 404
    confirmed = client.put(path)
    assert (confirmed.status_code, confirmed.headers["Location"]) == (201, path)
    assert confirmed.json["reserved"] == [offcut]
    again = client.put(path)
    assert (again.status_code, again.json) == (200, confirmed.json)
    assert client.get(path).json == confirmed.json
    assert client.get(f"/v1/offcuts/{offcut}").json["takeoff_id"] == made.json["id"]
    left = client.get("/v1/offcuts?state=available").json["items"]
    assert {each["id"] for each in left} == set(confirmed.json["made"])

    refused = client.delete(f"/v1/offcuts/{offcut}", headers={"If-Match": "*"})
    assert (refused.status_code, refused.json["takeoff_id"]) == (409, made.json["id"])
    assert client.delete(path).status_code == 204
    assert client.delete(path).status_code == 204
    assert [each["id"] for each in client.get("/v1/offcuts").json["items"]] == [offcut]


def test_an_offcut_that_is_promised_is_named_with_who_holds_it(client: ContractClient, survey: dict[str, Any]) -> None:
    offcut = client.post("/v1/offcuts", json={"component": "u_channel", "length_mm": 2990}).json["id"]
    first, second = (_take_off(client, survey, True).json["id"] for _ in range(2))
    assert client.put(f"/v1/takeoffs/{first}/confirmation").status_code == 201
    answer = client.put(f"/v1/takeoffs/{second}/confirmation")
    assert answer.status_code == 409
    assert answer.json["promised"] == [{"id": offcut, "takeoff_id": first}]
    assert answer.json["gone"] == answer.json["changed"] == []
    assert _take_off(client, survey, [offcut]).json["promised"] == [{"id": offcut, "takeoff_id": first}]


@pytest.mark.parametrize(
    ("offcuts", "pointer", "code"),
    [
        ("all", "#/options/offcuts", "wrong_type"),
        (1, "#/options/offcuts", "wrong_type"),
        (None, "#/options/offcuts", "null"),
        (["7"], "#/options/offcuts/0", "wrong_type"),
        (["01980c5e-7a00-7000-8000-000000000030"] * 2, "#/options/offcuts", "given_twice"),
        (["01980c5e-7a00-7000-8000-000000000030"], "#/options/offcuts/0", "unknown_id"),
        (["01980c5e-7a00-7000-8000-000000000030"] * 1001, "#/options/offcuts", "too_long"),
    ],
)
def test_which_offcuts_is_true_false_or_ids_that_are_there(
    client: ContractClient, survey: dict[str, Any], offcuts: Any, pointer: str, code: str
) -> None:
    answer = _take_off(client, survey, offcuts)
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json["errors"]] == [(pointer, code)]
