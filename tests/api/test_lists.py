"""Lists a page at a time: nothing twice, nothing left out, in a stated order, whatever happens between two pages."""

import base64
from urllib.parse import parse_qs, urlsplit

import pytest
from api_contract import ContractClient


def walk(client: ContractClient, path: str) -> list[str]:
    """All ids, by following Link."""
    found: list[str] = []
    while path:
        answer = client.get(path)
        assert answer.status_code == 200
        found += [entry["id"] for entry in answer.json["items"]]
        link = answer.headers.get("Link")
        cursor = answer.json["next_cursor"]
        assert (link is None) is (cursor is None)
        if link is None:
            return found
        path, _, relation = link.partition("; ")
        assert relation == 'rel="next"'
        path = path.strip("<>")
        assert parse_qs(urlsplit(path).query)["cursor"] == [cursor]
    return found


@pytest.mark.parametrize("limit", [1, 3, 7, 8, 200])
def test_pages_hold_each_entry_once_in_order(client: ContractClient, limit: int) -> None:
    made = [client.post("/v1/projects", json={"name": f"Flat {n}"}).json["id"] for n in range(7)]
    assert walk(client, f"/v1/projects?limit={limit}") == made


def test_rooms_stand_by_position_then_by_id(client: ContractClient) -> None:
    project = client.post("/v1/projects", json={}).json["id"]
    positions = [3, 1.5, 3, -2, 3, 1.5]
    made = [
        client.post(f"/v1/projects/{project}/rooms", json={"ceiling_height_mm": 2400, "position": position}).json
        for position in positions
    ]
    expected = [room["id"] for room in sorted(made, key=lambda room: (room["position"], room["id"]))]
    for limit in (1, 2, 4, 50):
        assert walk(client, f"/v1/projects/{project}/rooms?limit={limit}") == expected


def test_what_has_no_position_goes_after_the_last(client: ContractClient, ids: dict[str, str]) -> None:
    path = f"/v1/rooms/{ids['room_id']}/walls"
    before = client.get(path).json["items"]
    added = client.post(path, json={"length_mm": 900}).json
    assert client.get(path).json["items"] == [*before, added]


def test_there_is_room_after_the_greatest_position_that_a_caller_may_give(client: ContractClient) -> None:
    rooms = [
        {"ceiling_height_mm": 2400, "position": 1e9},
        {"ceiling_height_mm": 2500},
        {"ceiling_height_mm": 2600, "position": -1e9},
    ]
    project = client.post("/v1/projects", json={"survey": {"rooms": rooms}}).json["id"]
    assert client.post(f"/v1/projects/{project}/rooms", json={"ceiling_height_mm": 2700}).status_code == 201
    listed = client.get(f"/v1/projects/{project}/rooms").json["items"]
    assert [room["ceiling_height_mm"] for room in listed] == [2400, 2500, 2600, 2700]
    assert client.post(f"/v1/projects/{project}/rooms", json={**rooms[0], "position": 1e9 + 1}).status_code == 422


def test_entries_made_or_deleted_between_two_pages_upset_no_other(client: ContractClient) -> None:
    made = [client.post("/v1/projects", json={}).json["id"] for _ in range(4)]
    first = client.get("/v1/projects?limit=2").json
    client.delete(f"/v1/projects/{made[1]}", headers={"If-Match": "*"})
    later = client.post("/v1/projects", json={}).json["id"]
    second = client.get(f"/v1/projects?cursor={first['next_cursor']}").json
    assert [entry["id"] for entry in second["items"]] == [made[2], made[3], later]


def test_more_than_the_most_is_cut_down_to_it(client: ContractClient) -> None:
    for _ in range(201):
        client.post("/v1/projects", json={})
    assert len(client.get("/v1/projects").json["items"]) == 50
    assert len(client.get("/v1/projects?limit=200").json["items"]) == 200
    assert len(client.get("/v1/projects?limit=100000").json["items"]) == 200
    assert len(walk(client, "/v1/projects?limit=100000")) == 201


def test_a_cursor_is_good_for_its_own_list_and_filters_only(client: ContractClient, ids: dict[str, str]) -> None:
    for n in range(3):
        body = {"sku": f"INV-{n}", "component": "sealant"}
        client.post(f"/v1/catalogues/{ids['catalogue_id']}/items", json=body)
        client.post("/v1/projects", json={})
    items = f"/v1/catalogues/{ids['catalogue_id']}/items"
    cursor = client.get(f"{items}?limit=1&component=sealant").json["next_cursor"]
    assert client.get(f"{items}?component=sealant&cursor={cursor}").status_code == 200
    for path in (f"{items}?", f"{items}?component=c_stud&", "/v1/projects?", "/v1/takeoffs?"):
        answer = client.get(f"{path}cursor={cursor}")
        assert answer.status_code == 400, path
        assert answer.json["errors"][0]["parameter"] == "cursor"


def _forged(text: str) -> str:
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


@pytest.mark.parametrize(
    "cursor",
    ["x", "!!", "ü", "bnVsbA", _forged("[]"), _forged("[1,2,3]"), _forged("7"), _forged('{"a":1,"b":2,"c":3}'), "A" * 999],
)
def test_a_cursor_of_ones_own_making_is_refused(client: ContractClient, cursor: str) -> None:
    answer = client.get("/v1/projects", query_string={"cursor": cursor})
    assert answer.status_code == 400
    assert answer.json["errors"][0]["parameter"] == "cursor"


def test_a_cursor_whose_place_was_altered_is_refused(client: ContractClient) -> None:
    for _ in range(2):
        client.post("/v1/projects", json={})
    cursor = client.get("/v1/projects?limit=1").json["next_cursor"]
    kept = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4)).decode()
    key, id, mark = kept.strip("[]").split(",")
    for altered in (
        f"[7,{id},{mark}]",
        f'["never",{id},{mark}]',
        f'[{key},"x",{mark}]',
        f"[{key},7,{mark}]",
        f"[true,{id},{mark}]",
    ):
        assert client.get("/v1/projects", query_string={"cursor": _forged(altered)}).status_code == 400, altered


def test_filters_narrow_a_list(client: ContractClient, ids: dict[str, str]) -> None:
    client.post("/v1/projects", json={"reference": "INV-2"})
    found = client.get("/v1/projects?reference=INV-1").json["items"]
    assert [entry["id"] for entry in found] == [ids["project_id"]]
    assert client.get("/v1/projects?reference=INV-3").json == {"items": [], "next_cursor": None}
    items = f"/v1/catalogues/{ids['catalogue_id']}/items"
    client.post(items, json={"sku": "INV-9", "component": "sealant"})
    assert [entry["sku"] for entry in client.get(f"{items}?component=sealant").json["items"]] == ["INV-9"]
    assert [entry["sku"] for entry in client.get(f"{items}?sku=INV-3000").json["items"]] == ["INV-3000"]
    assert client.get(f"{items}?component=nail").status_code == 422


def test_a_taken_reference_or_article_number_names_the_one_that_has_it(client: ContractClient, ids: dict[str, str]) -> None:
    taken = client.post("/v1/projects", json={"reference": "INV-1"})
    assert (taken.status_code, taken.json["id"]) == (409, ids["project_id"])
    item = {"sku": "INV-3000", "component": "sealant"}
    taken = client.post(f"/v1/catalogues/{ids['catalogue_id']}/items", json=item)
    assert (taken.status_code, taken.json["id"]) == (409, ids["item_id"])
    client.delete(f"/v1/projects/{ids['project_id']}", headers={"If-Match": "*"})
    assert client.post("/v1/projects", json={"reference": "INV-1"}).status_code == 201, "a deleted one gives it up"


def test_takeoffs_are_listed_for_the_account_and_for_their_project(client: ContractClient, ids: dict[str, str]) -> None:
    inline = client.post("/v1/takeoffs", json={"survey": {"rooms": []}}).json["id"]
    assert walk(client, "/v1/takeoffs?limit=1") == [ids["takeoff_id"], inline]
    assert walk(client, f"/v1/projects/{ids['project_id']}/takeoffs") == [ids["takeoff_id"]]
