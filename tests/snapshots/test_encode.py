"""Results at rest: shapes, places, rounding, order."""

import json
from decimal import Decimal

import pytest
from surveys import IDS, survey

from service.engine.inputs import Item, Options
from service.engine.recipe import take_off
from service.snapshots.encode import encode
from service.snapshots.fill import document, fill
from service.snapshots.money import money
from service.snapshots.places import in_survey_order
from service.vocabulary import Component, Currency, Pool

FLAT = ["insulation_roll", "vcl_membrane", "plasterboard", "insulated_laminate"]


@pytest.fixture(scope="module")
def snapshot():
    return encode(survey(), take_off(survey()))


def part(snapshot, name, ids=IDS):
    return document(name, [(key, body) for (of, key), body in snapshot.parts.items() if of == name], ids)


def test_parts_are_kept_by_component_and_wall(snapshot):
    keys = {name: [key for of, key in snapshot.parts if of == name] for name in ("schedule", "cut_lists", "layouts", "inputs")}
    assert keys["schedule"][:3] == ["c_stud", "u_channel", "bracket"]
    assert keys["cut_lists"] == ["c_stud", "u_channel", *FLAT]
    assert keys["layouts"] == ["1/1", "1/2", "2/1"]  # 2/2 is not lined
    assert keys["inputs"] == [""]


def test_rooms_that_share_no_bars_are_kept_apart():
    asked = survey(options=Options(pool=Pool.ROOM))
    kept = encode(asked, take_off(asked))
    assert [key for of, key in kept.parts if of == "cut_lists"] == [
        f"{component}/{room}" for component in ("c_stud", "u_channel", *FLAT) for room in (1, 2)
        if component != "insulated_laminate" or room == 1  # room 2 has no opening to line
    ]  # fmt: skip
    lists = part(kept, "cut_lists")["bars"]
    assert [(entry["component"], entry["room_id"]) for entry in lists] == [
        ("c_stud", "room-a"), ("c_stud", "room-b"), ("u_channel", "room-a"), ("u_channel", "room-b"),
    ]  # fmt: skip


def test_a_line_has_what_the_schedule_promises(snapshot):
    line = part(snapshot, "schedule")["lines"][0]
    assert {
        "component", "description", "unit", "unit_code", "net_quantity", "waste_quantity", "reusable_quantity",
        "allowance_quantity", "spare_quantity", "mass_kg", "line_price", "order", "rooms", "derivation",
    } <= set(line)  # fmt: skip
    assert (line["component"], line["unit"], line["unit_code"], line["line_price"]) == ("c_stud", "m", "MTR", None)
    assert set(line["order"][0]) >= {
        "sku", "stock_length_mm", "needed", "pack_size", "packs", "quantity", "unit_price", "price",
    }  # fmt: skip
    assert set(line["derivation"][0]) >= {"rules", "role", "terms", "count", "length_mm", "wall_id", "members"}
    assert [share["room_id"] for share in line["rooms"]] == ["room-a", "room-b"]


def test_counted_components_are_whole_numbers_in_pieces(snapshot):
    line = next(entry for entry in part(snapshot, "schedule")["lines"] if entry["component"] == "bracket")
    assert (line["unit"], line["unit_code"]) == ("pcs", "C62")
    assert isinstance(line["net_quantity"], int)


def test_a_cut_list_has_what_it_promises(snapshot):
    cut_lists = part(snapshot, "cut_lists")
    assert [entry["component"] for entry in cut_lists["rolls"]] == ["insulation_roll", "vcl_membrane"]
    boards, laminate = cut_lists["sheets"]
    assert (boards["component"], laminate["component"]) == ("plasterboard", "insulated_laminate")
    assert set(boards) >= {"component", "objective", "status", "lower_bound", "used", "sheets", "unplaced"}
    assert list(boards["used"]) == list(boards["lower_bound"]) == ["count"]
    assert set(boards["sheets"][0]) == {
        "sheet", "pattern", "width_mm", "length_mm", "sku", "from_offcut_id", "cuts", "pieces", "remainders",
    }  # fmt: skip
    assert set(boards["sheets"][0]["pieces"][0]) == {
        "label", "piece_id", "x_mm", "y_mm", "width_mm", "length_mm", "turned", "cut_outs", "room_id", "wall_id",
    }  # fmt: skip
    studs = cut_lists["bars"][0]
    assert set(studs) >= {
        "component", "objective", "kerf_mm", "status", "lower_bound", "used", "certificate", "bars", "unplaced",
    }  # fmt: skip
    assert list(studs["used"]) == list(studs["lower_bound"]) == ["stock_mm"]
    assert set(studs["bars"][0]) == {
        "bar", "pattern", "stock_length_mm", "sku", "from_offcut_id", "cuts", "remainder_mm", "reusable",
    }  # fmt: skip
    assert {"label", "member_id", "role", "length_mm", "room_id", "wall_id"} <= set(studs["bars"][0]["cuts"][0])


def test_a_layout_has_what_it_promises(snapshot):
    layout = part(snapshot, "layouts")["layouts"][0]
    assert (layout["room_id"], layout["wall_id"]) == ("room-a", "wall-aa")
    assert {"x0_mm", "x1_mm"} <= set(layout["frame"])
    for kind in ("boards", "reveals", "insulation", "membrane"):
        assert {
            "id",
            "label",
            "x_mm",
            "y_mm",
            "width_mm",
            "length_mm",
            "layer",
            "height_left_mm",
            "height_right_mm",
            "cut_outs",
        } <= set(layout[kind][0])
    assert {reveal["opening_id"] for reveal in layout["reveals"]} == {"opening-aa"}
    assert all(junction["fixing"] and junction["seal"] and junction["trim"] for junction in layout["junctions"])
    member = layout["members"][0]
    assert {"id", "label", "role", "component", "x_mm", "y_mm", "length_mm", "direction"} <= set(member)
    assert member["id"] == member["label"] and member["id"].startswith("1/1/")
    assert {"x_mm", "y_mm", "member_id"} <= set(layout["brackets"][0])
    (window,) = layout["openings"]
    assert {name: window[name] for name in ("id", "kind", "offset_mm", "width_mm", "sill_mm", "height_mm")} == {
        "id": "opening-aa", "kind": "window", "offset_mm": 1200, "width_mm": 1200, "sill_mm": 900, "height_mm": 1200,
    }  # fmt: skip
    assert [feature["id"] for feature in layout["features"]] == ["feature-aa"]


def test_positions_are_shown_to_a_tenth_of_a_millimetre(snapshot):
    shown = [
        member[name]
        for layout in part(snapshot, "layouts")["layouts"]
        for member in layout["members"]
        for name in ("x_mm", "y_mm")
    ]
    assert all(round(position, 1) == position for position in shown)


def test_a_rake_and_folds_are_there_where_they_are_given_and_not_elsewhere(snapshot):
    first, second, _ = part(snapshot, "layouts")["layouts"]
    # 600 down over 3000, to the right: atan(0.2) is 11.31 degrees
    sloped = [member for member in second["members"] if member["role"] == "ceiling_channel"]
    assert all(member["y_end_mm"] < member["y_mm"] for member in sloped) and sloped
    studs = [member for member in second["members"] if member["role"] == "stud"]
    assert {member["splay_end_deg"] for member in studs} == {-11.3}
    (sill,) = [member for member in first["members"] if member["role"] == "sill_trim"]
    assert sill["fold_marks_mm"] == [150, 1350]
    level = [member for member in first["members"] if member["role"] == "stud"]
    assert all("y_end_mm" not in m and "splay_end_deg" not in m and "fold_marks_mm" not in m for m in level) and level


def test_what_the_saw_needs_stands_in_the_cut_too(snapshot):
    cuts = [c for entry in part(snapshot, "cut_lists")["bars"] for bar in entry["bars"] for c in bar["cuts"]]
    assert {c["splay_end_deg"] for c in cuts if c["label"].startswith("1/2/stud")} == {-11.3}
    assert [c["fold_marks_mm"] for c in cuts if c["label"] == "1/1/sill_trim-01"] == [[150, 1350]]


def test_prices_are_money_and_the_objective_of_the_plan():
    items = (
        Item(component=Component.C_STUD, length_mm=3000, price_minor=Decimal("475.5"), sku="S30"),
        Item(component=Component.U_CHANNEL, length_mm=3000, price_minor=400, sku="U30"),
    )
    asked = survey(items=items, currency=Currency.GBP)
    kept = encode(asked, take_off(asked))
    line, _ = part(kept, "schedule")["lines"][:2]
    (entry,) = line["order"]
    assert entry["unit_price"] == {"amount": "4.755", "currency": "GBP"}
    # half up to the penny
    pence = int((Decimal("475.5") * entry["quantity"] + Decimal("0.5")) // 1)
    assert entry["price"] == line["line_price"] == {"amount": f"{pence // 100}.{pence % 100:02}", "currency": "GBP"}
    assert part(kept, "cut_lists")["bars"][0]["used"]["price"]["currency"] == "GBP"
    assert kept.summary["totals"]["net_price"] is None
    unpriced = kept.summary["totals"]["unpriced"]
    assert unpriced[:2] == ["bracket", "bracket_clip"] and len(unpriced) == len(set(unpriced)) > 10


@pytest.mark.parametrize(
    ("minor", "amount"), [(0, "0.00"), (5, "0.05"), (1234, "12.34"), (Decimal("3.5"), "0.035"), (Decimal(100), "1.00")]
)
def test_money_is_decimal_text_with_two_places_or_what_it_needs(minor, amount):
    assert money(minor, Currency.EUR) == {"amount": amount, "currency": "EUR"}


def test_no_price_and_no_currency_are_no_money():
    assert money(None, Currency.GBP) is None
    assert money(100, None) is None


def test_the_inputs_are_all_that_was_used(snapshot):
    used = part(snapshot, "inputs")
    assert [room["id"] for room in used["survey"]["rooms"]] == ["room-a", "room-b"]
    assert used["survey"]["rooms"][0]["walls"][0]["openings"][0]["id"] == "opening-aa"
    assert used["parameters"]["frame_offset_mm"] == 100
    assert used["components"]["short_stud"] == "c_stud"
    assert len(used["items"]) == len(survey().items)
    assert used["options"] == {"pool": "project", "kerf_mm": 0, "allowances": {}}


def test_equal_inputs_are_equal_bytes(snapshot):
    assert encode(survey(), take_off(survey())).parts == snapshot.parts


def test_everything_is_plain_json(snapshot):
    assert json.loads(json.dumps(snapshot.summary)) == snapshot.summary


def test_walls_are_put_in_survey_order_and_not_in_that_of_text():
    assert sorted(["1/10", "2/1", "1/2", "10/1"], key=in_survey_order) == ["1/2", "1/10", "2/1", "10/1"]
    walls = [(key, json.dumps({"wall_id": key}).encode()) for key in ("1/10", "1/2")]
    assert [entry["wall_id"] for entry in document("layouts", walls, {"1/2": "b", "1/10": "a"})["layouts"]] == ["b", "a"]


def test_ids_are_filled_into_their_slots_and_nowhere_else():
    found = {
        "message": "1/2", "room_id": "1", "wall_id": "1/2", "opening_id": None,
        "members": [{"id": "1/2/stud-03", "label": "1/2"}], "id": "1/2/opening-1",
    }  # fmt: skip
    assert fill(found, {"1": "R", "1/2": "W", "1/2/opening-1": "O"}) == {
        "message": "1/2", "room_id": "R", "wall_id": "W", "opening_id": None,
        "members": [{"id": "1/2/stud-03", "label": "1/2"}], "id": "O",
    }  # fmt: skip


def test_a_place_without_an_id_is_a_fault_of_ours_and_not_passed_on():
    with pytest.raises(KeyError):
        fill({"wall_id": "9/9"}, {})


def test_there_are_no_other_parts():
    with pytest.raises(KeyError):
        document("thermal", [], {})
