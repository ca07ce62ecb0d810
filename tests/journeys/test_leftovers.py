"""A contractor with two jobs: the second is cut from what the first leaves, and less is bought for it."""

from collections.abc import Callable
from typing import Any

import httpx

PARTS = "include=schedule,cut_lists"


def test_a_second_takeoff_is_cut_from_the_firsts_left_overs_and_orders_less(
    caller: Callable[..., httpx.Client], house: dict[str, Any]
) -> None:
    site = caller("Invented Contractors")
    first = site.post("/v1/takeoffs", json={"survey": house}).json()["id"]
    confirmed = site.put(f"/v1/takeoffs/{first}/confirmation")
    assert confirmed.status_code == 201
    assert confirmed.json()["reserved"] == []
    yard = {offcut["id"]: offcut for offcut in site.get("/v1/offcuts?state=available&limit=200").json()["items"]}
    assert set(confirmed.json()["made"]) == set(yard)
    assert all(offcut["length_mm"] >= 600 for offcut in yard.values())

    cupboard = {"rooms": [{"name": "Cupboard", "ceiling_height_mm": 1150, "walls": [{"length_mm": 1400}]}]}
    bought = site.post(f"/v1/takeoffs?{PARTS}", json={"survey": cupboard}).json()
    second = site.post(f"/v1/takeoffs?{PARTS}", json={"survey": cupboard, "options": {"offcuts": True}}).json()
    lines = {line["component"]: line for line in second["schedule"]["lines"]}
    saved = 0.0
    for line in bought["schedule"]["lines"]:
        now = lines[line["component"]]
        assert now["net_quantity"] == line["net_quantity"]
        assert now["ordered_quantity"] <= line["ordered_quantity"]
        supplied = now["ordered_quantity"] + now["from_offcuts_quantity"]
        parts = ("waste_quantity", "reusable_quantity", "allowance_quantity", "spare_quantity")
        assert abs(now["net_quantity"] + sum(now[part] for part in parts) - supplied) < 1e-6
        saved += line["ordered_quantity"] - now["ordered_quantity"]
    assert saved > 0
    drawn = {
        one["from_offcut_id"]: one
        for kind, each in (("bars", "bars"), ("sheets", "sheets"), ("rolls", "sheets"))
        for cut_list in second["cut_lists"][kind]
        for one in cut_list[each]
        if one["from_offcut_id"]
    }
    assert drawn
    assert drawn.keys() <= yard.keys()
    for id, one in drawn.items():
        assert yard[id]["length_mm"] == one.get("stock_length_mm", one.get("length_mm"))

    # Someone else's job wants the same pieces: whoever confirms first has them.
    rival = site.post("/v1/takeoffs", json={"survey": cupboard, "options": {"offcuts": True}}).json()["id"]
    assert site.put(f"/v1/takeoffs/{second['id']}/confirmation").json()["reserved"]
    refused = site.put(f"/v1/takeoffs/{rival}/confirmation")
    assert refused.status_code == 409
    assert {promise["takeoff_id"] for promise in refused.json()["promised"]} == {second["id"]}
    assert site.delete(f"/v1/takeoffs/{first}/confirmation").status_code == 409, "its left-overs are promised"
    for takeoff in (second["id"], first):
        assert site.delete(f"/v1/takeoffs/{takeoff}/confirmation").status_code == 204
    assert site.get("/v1/offcuts").json()["items"] == []
