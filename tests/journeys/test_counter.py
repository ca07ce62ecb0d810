"""A merchant's counter: a customer waits, one request carries the survey, one answer the lines to sell."""

from collections.abc import Callable
from typing import Any

import httpx

from service.vocabulary import KeyScope


def test_the_first_request_of_a_new_account_is_answered_with_lines_to_sell(
    caller: Callable[..., httpx.Client], house: dict[str, Any]
) -> None:
    till = caller("Invented Merchants", KeyScope.READ, KeyScope.TAKEOFF)
    answer = till.post("/v1/takeoffs?include=schedule,cut_lists", json={"survey": house})
    assert answer.status_code == 201
    takeoff = answer.json()
    assert takeoff["totals"]["rooms"] == 2
    assert [finding for finding in takeoff["findings"] if finding["severity"] == "error"] == []

    lines = {line["component"]: line for line in takeoff["schedule"]["lines"]}
    assert {"c_stud", "u_channel", "bracket", "bracket_clip", "frame_screw"} <= lines.keys()
    for line in lines.values():
        assert line["order"], line["component"]
        for entry in line["order"]:
            assert entry["quantity"] == entry["packs"] * entry["pack_size"] >= entry["needed"] > 0
    bars = {entry["component"]: entry for entry in takeoff["cut_lists"]["bars"]}
    for component in ("c_stud", "u_channel"):
        cut = sum(piece["length_mm"] for bar in bars[component]["bars"] for piece in bar["cuts"])
        bought = sum(bar["stock_length_mm"] for bar in bars[component]["bars"])
        left = sum(bar["remainder_mm"] for bar in bars[component]["bars"])
        assert bought == cut + left == bars[component]["used"]["stock_mm"] >= bars[component]["lower_bound"]["stock_mm"]
        assert bars[component]["unplaced"] == []

    again = till.get(answer.headers["Location"] + "?include=schedule,cut_lists")
    assert again.json() == takeoff
    assert till.post("/v1/projects", json={}).status_code == 403, "a till's key sells and changes nothing"


def test_a_mistyped_survey_is_told_every_mistake_at_once_and_costs_nothing(
    caller: Callable[..., httpx.Client], house: dict[str, Any]
) -> None:
    till = caller("Invented Merchants")
    house["rooms"][0]["walls"][0]["length_mm"] = "900"
    house["rooms"][0]["walls"][1]["hight"] = 2700
    house["rooms"][1]["ceiling_height_mm"] = 24000000
    answer = till.post("/v1/takeoffs", json={"survey": house}, headers={"X-Request-Id": "till-3:0099"})
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.json()["request_id"] == answer.headers["X-Request-Id"] == "till-3:0099"
    assert {fault["pointer"] for fault in answer.json()["errors"]} == {
        "#/survey/rooms/0/walls/0/length_mm",
        "#/survey/rooms/0/walls/1/hight",
        "#/survey/rooms/1/ceiling_height_mm",
    }
    assert till.get("/v1/takeoffs").json()["items"] == []


def test_a_price_list_makes_it_a_quotation(caller: Callable[..., httpx.Client], house: dict[str, Any]) -> None:
    till = caller("Invented Merchants")
    catalogue = till.post("/v1/catalogues", json={"name": "Counter range", "currency": "GBP"}).json()["id"]
    price = {"amount": "5.00", "currency": "GBP"}
    items: list[dict[str, Any]] = [{"sku": f"STUD-{n}", "component": "c_stud", "length_mm": n} for n in (2400, 3000)]
    items.append({"sku": "CHANNEL-3000", "component": "u_channel", "length_mm": 3000})
    others = ("bracket", "bracket_clip", "frame_screw", "timber_fixing", "masonry_fixing")
    items += [{"sku": f"PACK-{component}", "component": component, "pack_size": 100} for component in others]
    for item in items:
        assert till.post(f"/v1/catalogues/{catalogue}/items", json={**item, "price": price}).status_code == 201
    body = {"survey": house, "catalogue_id": catalogue, "options": {"kerf_mm": 3, "allowances": {"bracket": 10}}}
    takeoff = till.post("/v1/takeoffs?include=schedule", json=body).json()
    priced = [line for line in takeoff["schedule"]["lines"] if line["component"] in {item["component"] for item in items}]
    # every piece costs the same here, so a line's price is 5.00 times its pieces
    for line in priced:
        pieces = sum(entry["quantity"] for entry in line["order"])
        assert line["line_price"] == {"amount": f"{5 * pieces}.00", "currency": "GBP"}, line["component"]
    unpriced = {line["component"] for line in takeoff["schedule"]["lines"]} - {line["component"] for line in priced}
    assert set(takeoff["totals"]["unpriced"]) == unpriced
    total = 5 * sum(entry["quantity"] for line in priced for entry in line["order"])
    expected = None if unpriced else {"amount": f"{total}.00", "currency": "GBP"}
    assert takeoff["totals"]["net_price"] == expected
