"""A contractor's app on two tablets: ids made on site, saves that meet each other, answers that get lost on the way."""

import uuid
from collections.abc import Callable
from typing import Any

import httpx


def put(client: httpx.Client, path: str, body: dict[str, Any], **headers: str) -> httpx.Response:
    return client.put(path, json=body, headers=headers)


def test_a_survey_is_saved_piece_by_piece_under_the_apps_own_ids(caller: Callable[..., httpx.Client]) -> None:
    tablet = caller("Invented Linings")
    project, room, wall, opening, feature = (str(uuid.uuid4()) for _ in range(5))
    saves = [
        (f"/v1/projects/{project}", {"reference": "INV-88", "name": "12 Nowhere Street"}),
        (f"/v1/rooms/{room}", {"project_id": project, "name": "Loft", "ceiling_height_mm": 2300, "position": 1}),
        (f"/v1/walls/{wall}", {"room_id": room, "length_mm": 3600, "height_right_mm": 900, "position": 1}),
        (
            f"/v1/openings/{opening}",
            {"wall_id": wall, "kind": "window", "offset_mm": 400, "width_mm": 700, "sill_mm": 800, "height_mm": 600},
        ),
        (f"/v1/features/{feature}", {"wall_id": wall, "kind": "switch", "x_mm": 200, "y_mm": 1200}),
    ]
    for path, body in saves:
        assert put(tablet, path, body).status_code == 201, path
    for path, body in saves:  # the answers never arrived, so the app sends them all again
        assert put(tablet, path, body).status_code == 200, path

    survey = tablet.get(f"/v1/projects/{project}/survey").json()
    stored_wall = survey["rooms"][0]["walls"][0]
    assert (survey["rooms"][0]["id"], stored_wall["id"]) == (room, wall)
    assert [stored_wall["openings"][0]["id"], stored_wall["features"][0]["id"]] == [opening, feature]
    assert survey["findings"] == []
    takeoff = tablet.post(f"/v1/projects/{project}/takeoffs?include=layouts", json={"survey_version": survey["version"]})
    assert takeoff.status_code == 201
    assert [layout["wall_id"] for layout in takeoff.json()["layouts"]["layouts"]] == [wall]


def test_two_tablets_never_lose_a_measurement_to_each_other(caller: Callable[..., httpx.Client], house: dict[str, Any]) -> None:
    first = caller("Invented Linings")
    second = httpx.Client(base_url=first.base_url, headers=first.headers, timeout=60, event_hooks=first.event_hooks)
    project = first.post("/v1/projects", json={"survey": house}).json()["id"]
    wall = first.get(f"/v1/projects/{project}/survey").json()["rooms"][0]["walls"][0]["id"]
    path = f"/v1/walls/{wall}"
    merge = {"Content-Type": "application/merge-patch+json"}

    seen = {"first": first.get(path), "second": second.get(path)}
    assert seen["first"].headers["ETag"] == seen["second"].headers["ETag"]
    saved = first.patch(path, json={"length_mm": 905}, headers={**merge, "If-Match": seen["first"].headers["ETag"]})
    assert saved.status_code == 200

    stale = second.patch(path, json={"proud_mm": 12}, headers={**merge, "If-Match": seen["second"].headers["ETag"]})
    assert stale.status_code == 412
    fresh = second.get(path, headers={"If-None-Match": seen["second"].headers["ETag"]})
    assert (fresh.status_code, fresh.json()["length_mm"]) == (200, 905)
    assert second.get(path, headers={"If-None-Match": fresh.headers["ETag"]}).status_code == 304
    merged = second.patch(path, json={"proud_mm": 12}, headers={**merge, "If-Match": fresh.headers["ETag"]})
    assert (merged.json()["length_mm"], merged.json()["proud_mm"]) == (905, 12)

    lost = first.patch(path, json={"length_mm": 905}, headers={**merge, "If-Match": seen["first"].headers["ETag"]})
    assert lost.status_code == 200, "the effect of the retry stands already"
    assert lost.json() == merged.json()
    second.close()


def test_a_room_is_deleted_with_all_in_it_and_stays_deleted(caller: Callable[..., httpx.Client], house: dict[str, Any]) -> None:
    tablet = caller("Invented Linings")
    project = tablet.post("/v1/projects", json={"survey": house}).json()["id"]
    front = tablet.get(f"/v1/projects/{project}/survey").json()["rooms"][0]
    room, walls = f"/v1/rooms/{front['id']}", front["walls"]
    tag = {"If-Match": tablet.get(room).headers["ETag"]}

    kept = tablet.delete(room, headers=tag)
    assert kept.status_code == 409
    assert {child["id"] for child in kept.json()["children"]} == {wall["id"] for wall in walls}
    assert tablet.delete(room, params={"with_children": "true"}, headers=tag).status_code == 204
    assert tablet.delete(room, params={"with_children": "true"}, headers=tag).status_code == 204, "sent again"
    for path in (room, *(f"/v1/walls/{wall['id']}" for wall in walls)):
        assert tablet.get(path).status_code == 410
    back_again = {"project_id": project, "ceiling_height_mm": 2700}
    assert put(tablet, room, back_again).status_code == 410
    assert [left["name"] for left in tablet.get(f"/v1/projects/{project}/rooms").json()["items"]] == ["Back room"]


def test_a_half_finished_survey_is_kept_and_says_what_is_wrong_until_it_is_mended(
    caller: Callable[..., httpx.Client],
) -> None:
    tablet = caller("Invented Linings")
    door = {"kind": "door", "offset_mm": 1900, "width_mm": 800, "sill_mm": 0, "height_mm": 2000}
    survey = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": 2500, "openings": [door]}]}]}
    project = tablet.post("/v1/projects", json={"survey": survey}).json()["id"]
    path = f"/v1/projects/{project}/survey"
    read = tablet.get(path).json()
    opening = read["rooms"][0]["walls"][0]["openings"][0]["id"]
    assert [(finding["code"], finding["opening_id"]) for finding in read["findings"]] == [("opening_outside_wall", opening)]
    refused = tablet.post(f"/v1/projects/{project}/takeoffs", json={})
    assert refused.status_code == 422
    assert [fault["opening_id"] for fault in refused.json()["errors"]] == [opening]

    mended = tablet.patch(f"/v1/openings/{opening}", json={"offset_mm": 1500}, headers={"If-Match": "*"})
    assert mended.status_code == 200
    assert tablet.get(path).json()["findings"] == []
    assert tablet.post(f"/v1/projects/{project}/takeoffs", json={}).status_code == 201


class Tablet:
    """An app that works on a copy of its own: edits wait in it until there is a connection, and come to know of the others'."""

    def __init__(self, client: httpx.Client, project: str) -> None:
        self._client, self._path = client, f"/v1/projects/{project}/changes"
        self.rows: dict[str, dict[str, Any]] = {}
        self.seen, self._token = 0, None
        self.waiting: list[dict[str, Any]] = []

    def pull(self) -> None:
        more = True
        while more:
            query = {"limit": 3, **({"since": self._token} if self._token else {})}
            page = self._client.get(self._path, params=query).json()
            for change in page["changes"]:
                self.rows.pop(change["id"], None)
                if not change["deleted"]:
                    self.rows[change["id"]] = change
            self._token, more, self.seen = page["next_token"], page["has_more"], page["survey_version"]

    def edit(self, op: str, type: str, id: str, **data: Any) -> None:
        base = self.seen if op == "delete" or id not in self.rows else self.rows[id]["version"]
        wish = {"mutation_id": str(uuid.uuid4()), "type": type, "id": id, "op": op, "base_version": base, "data": data or None}
        self.waiting.append(wish)

    def push(self, **query: str) -> httpx.Response:
        """Sends all that waits; it waits on until `answered`."""
        return self._client.post(self._path, params=query, json={"mutations": self.waiting})

    def answered(self, answer: httpx.Response) -> list[str]:
        assert answer.status_code == 200, answer.text
        self.waiting = []
        return [result["status"] for result in answer.json()["results"]]


def test_two_tablets_work_offline_and_find_together(caller: Callable[..., httpx.Client], house: dict[str, Any]) -> None:
    client = caller("Invented Linings")
    project = client.post("/v1/projects", json={"survey": house}).json()["id"]
    front, back = client.get(f"/v1/projects/{project}/survey").json()["rooms"]
    first, second = Tablet(client, project), Tablet(client, project)
    first.pull()
    second.pull()
    assert first.rows == second.rows
    assert len(first.rows) == 16  # project, two rooms, nine walls, three openings, a socket
    bay = front["walls"][1]["id"]
    window = front["walls"][1]["openings"][0]["id"]

    # Both lose the connection. The first measures the bay and surveys a hall; the second says what the bay is
    # built of.
    hall, wall = str(uuid.uuid4()), str(uuid.uuid4())
    first.edit("patch", "wall", bay, length_mm=2610)
    first.edit("put", "room", hall, ceiling_height_mm=2500, name="Hall")
    first.edit("put", "wall", wall, room_id=hall, length_mm=1800)
    second.edit("patch", "wall", bay, substrate="stone", name="Stone bay")
    second.edit("patch", "opening", window, sill_mm=860)

    # The first's answer is lost, so it sends all of it again, with one more edit of what it has just made.
    assert first.push().status_code == 200
    first.edit("patch", "wall", wall, length_mm=1795)
    assert first.answered(first.push()) == ["duplicate", "duplicate", "duplicate", "applied"]
    assert second.answered(second.push()) == ["applied", "applied"]
    first.pull()
    second.pull()
    assert first.rows == second.rows
    stands = first.rows[bay]["data"]
    assert (stands["length_mm"], stands["substrate"], stands["name"]) == (2610, "stone", "Stone bay")
    assert first.rows[wall]["data"]["length_mm"] == 1795

    # Now both measure the same window, and the second drops a room in which the first is still at work.
    first.edit("patch", "opening", window, width_mm=1190)
    first.edit("patch", "room", back["id"], floor="timber")
    second.edit("patch", "opening", window, height_mm=1340)
    second.edit("delete", "room", back["id"])
    assert first.answered(first.push()) == ["applied", "applied"]
    refused = second.push(atomic="true")
    assert (refused.status_code, refused.json()["type"]) == (409, "/docs#mutations-not-applied")
    answer = second.push()
    assert second.answered(answer) == ["conflict", "conflict"]
    window_conflict, room_conflict = answer.json()["results"]
    assert window_conflict["server"]["data"]["width_mm"] == 1190
    assert set(window_conflict["members"]) == {"width_mm", "height_mm"}
    assert [change["id"] for change in room_conflict["newer"]] == [back["id"]]

    # The second looks at both, keeps its height beside the other's width, and drops the room all the same.
    second.pull()
    second.edit("patch", "opening", window, height_mm=1340)
    second.edit("delete", "room", back["id"])
    assert second.answered(second.push()) == ["applied", "applied"]
    first.edit("patch", "wall", back["walls"][0]["id"], length_mm=4010)
    late = first.push().json()["results"][0]
    assert (late["status"], late["server"]["deleted"], late["server"]["data"]["length_mm"]) == ("conflict", True, 4000)

    first.pull()
    second.pull()
    assert first.rows == second.rows
    survey = client.get(f"/v1/projects/{project}/survey").json()
    assert [room["name"] for room in survey["rooms"]] == ["Front room", "Hall"]
    opening = survey["rooms"][0]["walls"][1]["openings"][0]
    assert (opening["width_mm"], opening["height_mm"], opening["sill_mm"]) == (1190, 1340, 860)
    for room in survey["rooms"]:
        for row in (room, *room["walls"]):
            held = first.rows[row["id"]]["data"]
            assert {name: held[name] for name in row if name in held} == {name: row[name] for name in row if name in held}
