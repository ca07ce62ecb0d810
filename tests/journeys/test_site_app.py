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
