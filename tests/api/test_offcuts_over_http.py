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
