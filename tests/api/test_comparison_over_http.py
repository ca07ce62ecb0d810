"""Comparisons as callers see them: a survey measured anew, a price that rose, two takeoffs that are equal.

The front room's wall is 4200 long with a window of 1200. Channel: floor and ceiling 3000 + 1200 each, head and sill trim
1200 + 2 × 150 each, 11.4 m, from four bars of 3 m: 3000 | 3000 | 1500 + 1500 | 1200 + 1200. Without the window the trims go:
8.4 m, three bars.
"""

import uuid
from typing import Any

import pytest
from api_contract import ContractClient
from sqlalchemy import delete

from service.store.database import Database
from service.store.models import ResultPart

ANY = {"If-Match": "*"}


@pytest.fixture
def project(client: ContractClient, survey: dict[str, Any]) -> str:
    return str(client.post("/v1/projects", json={"survey": survey}).json["id"])


def take_off(client: ContractClient, project: str, **body: Any) -> str:
    return str(client.post(f"/v1/projects/{project}/takeoffs", json=body).json["id"])


def compared(client: ContractClient, before: str, after: str) -> dict[str, Any]:
    answer = client.get(f"/v1/takeoffs/{before}/comparison/{after}")
    assert answer.status_code == 200
    return dict(answer.json)


def line_of(comparison: dict[str, Any], component: str) -> dict[str, Any]:
    (line,) = (line for line in comparison["lines"] if line["component"] == component)
    return dict(line)


def test_a_window_that_is_walled_up_saves_its_trims_and_adds_its_area(client: ContractClient, project: str) -> None:
    wall = client.get(f"/v1/projects/{project}/survey").json["rooms"][0]["walls"][0]
    window = wall["openings"][0]["id"]
    before = take_off(client, project)
    assert client.delete(f"/v1/openings/{window}", headers=ANY).status_code == 204
    found = compared(client, before, take_off(client, project))

    assert (found["equal"], found["settings"]) == (False, [])
    assert found["after"]["inputs"]["survey_version"] == found["before"]["inputs"]["survey_version"] + 1
    area = found["totals"]["lined_area_m2"]
    assert (area["before"], area["after"], area["difference"]) == (9.9, 11.34, 1.44)  # 1.2 × 1.2
    channel = line_of(found, "u_channel")
    assert channel["net_quantity"] == {"before": 11.4, "after": 8.4, "difference": -3}
    (bars,) = channel["order"]
    assert (bars["stock_length_mm"], bars["quantity"]) == (3000, {"before": 4, "after": 3, "difference": -1})
    saved = [entry for entry in found["saves"] if entry["component"] == "u_channel"]
    assert [(entry["stock_length_mm"], entry["quantity"], entry["price"]) for entry in saved] == [(3000, 1, None)]

    (changed,) = found["walls"]["changed"]
    assert (changed["wall_id"], changed["members"]) == (wall["id"], [])
    assert changed["openings"] == {"added": [], "removed": [{"opening_id": window, "kind": "window"}], "changed": []}
    needs = {entry["component"]: entry["difference"] for entry in changed["quantities"]}
    assert needs["u_channel"] == -3
    assert needs.keys() == {line["component"] for line in found["lines"] if line["net_quantity"]["difference"]}


def test_an_unlined_wall_measured_anew_is_a_change_that_costs_nothing(client: ContractClient, project: str) -> None:
    wall = client.get(f"/v1/projects/{project}/survey").json["rooms"][0]["walls"][1]["id"]
    before = take_off(client, project)
    client.patch(f"/v1/walls/{wall}", json={"length_mm": 3700}, headers=ANY)
    found = compared(client, before, take_off(client, project))
    assert found["equal"] is False
    assert (found["lines"], found["adds"], found["saves"]) == ([], [], [])
    (changed,) = found["walls"]["changed"]
    assert (changed["wall_id"], changed["members"], changed["quantities"]) == (
        wall,
        [{"member": "length_mm", "before": 3600, "after": 3700}],
        [],
    )


def test_a_room_more_is_its_walls_added_and_the_other_way_round_removed(client: ContractClient, project: str) -> None:
    """One wall of 1200: floor and ceiling channel, 2.4 m."""
    before = take_off(client, project)
    room = client.post(f"/v1/projects/{project}/rooms", json={"ceiling_height_mm": 2700}).json["id"]
    wall = client.post(f"/v1/rooms/{room}/walls", json={"length_mm": 1200}).json["id"]
    after = take_off(client, project)
    there, back = compared(client, before, after), compared(client, after, before)
    assert there["totals"]["rooms"] == {"before": 1, "after": 2, "difference": 1}
    (added,), (removed,) = there["walls"]["added"], back["walls"]["removed"]
    assert (added["room_id"], added["wall_id"]) == (removed["room_id"], removed["wall_id"]) == (room, wall)
    (channel,) = (entry for entry in added["quantities"] if entry["component"] == "u_channel")
    assert (channel["before"], channel["after"], channel["difference"]) == (0, 2.4, 2.4)
    assert line_of(back, "u_channel")["net_quantity"]["difference"] == -2.4
    assert (there["walls"]["changed"], there["walls"]["removed"]) == ([], [])
    assert (there["adds"], there["saves"]) == (back["saves"], back["adds"])


def test_a_price_that_rose_is_a_difference_in_money_alone(client: ContractClient, project: str) -> None:
    """Four bars at 4.00 are 16.00, at 4.35 they are 17.40. With boards as long as the wall is high no joint needs a strap."""
    catalogue = client.post("/v1/catalogues", json={"name": "Counter range"}).json["id"]
    price = {"amount": "4.00", "currency": "GBP"}
    item = {"sku": "U-3000", "component": "u_channel", "length_mm": 3000, "price": price}
    made = client.post(f"/v1/catalogues/{catalogue}/items", json=item).json["id"]
    board = {"sku": "B-2700", "component": "plasterboard", "length_mm": 2700, "width_mm": 1200, "thickness_mm": 12.5}
    assert client.post(f"/v1/catalogues/{catalogue}/items", json=board).status_code == 201
    before = take_off(client, project, catalogue_id=catalogue)
    risen = {"price": {**price, "amount": "4.35"}}
    assert client.patch(f"/v1/catalogues/{catalogue}/items/{made}", json=risen, headers=ANY).status_code == 200
    found = compared(client, before, take_off(client, project, catalogue_id=catalogue))
    (channel,) = found["lines"]
    assert channel["line_price"]["before"]["amount"] == "16.00"
    assert channel["line_price"]["after"]["amount"] == "17.40"
    assert channel["line_price"]["difference"] == {"amount": "1.40", "currency": "GBP"}
    assert channel["order"][0]["unit_price"]["difference"] == {"amount": "0.35", "currency": "GBP"}
    assert (found["adds"], found["saves"], found["walls"]["changed"]) == ([], [], [])


def test_closer_studs_change_walls_that_were_not_measured_anew(client: ContractClient, project: str) -> None:
    wall = client.get(f"/v1/projects/{project}/survey").json["rooms"][0]["walls"][0]["id"]
    before = take_off(client, project)
    after = take_off(client, project, specification={"stud_centres_mm": 400})
    found = compared(client, before, after)
    assert found["settings"] == [{"group": "parameters", "member": "stud_centres_mm", "before": 600, "after": 400}]
    (changed,) = found["walls"]["changed"]
    assert (changed["wall_id"], changed["members"]) == (wall, [])
    (studs,) = (entry for entry in changed["quantities"] if entry["component"] == "c_stud")
    assert studs["difference"] > 0


def test_equal_takeoffs_differ_in_nothing_and_their_parts_are_not_even_read(
    client: ContractClient, project: str, sqlite_database: Database
) -> None:
    one, other = take_off(client, project), take_off(client, project)
    sqlite_database.transact(lambda session: session.execute(delete(ResultPart)))
    for pair in ((one, other), (one, one)):
        found = compared(client, *pair)
        assert found["equal"] is True
        assert found["totals"]["lined_area_m2"]["difference"] == 0
        assert [found[name] for name in ("settings", "lines", "adds", "saves")] == [[], [], [], []]
        assert found["walls"] == {"added": [], "removed": [], "changed": []}


def test_walls_of_inline_surveys_without_ids_are_known_by_their_place(client: ContractClient, survey: dict[str, Any]) -> None:
    before = client.post("/v1/takeoffs", json={"survey": survey}).json["id"]
    survey["rooms"][0]["walls"][0]["openings"][0]["width_mm"] = 900
    after = client.post("/v1/takeoffs?include=layouts", json={"survey": survey}).json
    found = compared(client, before, after["id"])
    (changed,) = found["walls"]["changed"]
    assert (found["walls"]["added"], found["walls"]["removed"]) == ([], [])
    assert changed["wall_id"] == after["layouts"]["layouts"][0]["wall_id"]
    assert changed["openings"]["changed"][0]["members"] == [{"member": "width_mm", "before": 1200, "after": 900}]


def test_either_takeoff_must_be_the_callers_own(
    client: ContractClient, stranger: ContractClient, project: str, survey: dict[str, Any]
) -> None:
    own = take_off(client, project)
    others = stranger.post("/v1/takeoffs", json={"survey": survey}).json["id"]
    for pair in ((own, others), (others, own), (own, uuid.uuid4()), (uuid.uuid4(), own)):
        path = f"/v1/takeoffs/{pair[0]}/comparison/{pair[1]}"
        assert client.get(path).status_code == 404
        assert client.get(path, headers={"If-None-Match": '"v1"'}).status_code == 404
    path = f"/v1/takeoffs/{own}/comparison/{own}"
    assert client.get(path, headers={"If-None-Match": client.get(path).headers["ETag"]}).status_code == 304
