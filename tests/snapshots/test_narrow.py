"""Filters leave things out and never change a figure."""

import pytest
from surveys import IDS, survey

from service.engine.recipe import take_off
from service.snapshots.encode import encode
from service.snapshots.fill import document
from service.snapshots.narrow import narrow

SNAPSHOT = encode(survey(), take_off(survey()))


def part(name):
    return document(name, [(key, body) for (of, key), body in SNAPSHOT.parts.items() if of == name], IDS)


def narrowed(name, room_id=None, wall_id=None, component=None):
    return narrow(name, part(name), room_id=room_id, wall_id=wall_id, component=component)


@pytest.mark.parametrize("name", ["schedule", "cut_lists", "layouts", "inputs"])
def test_without_a_filter_nothing_is_left_out(name):
    assert narrowed(name) == part(name)


def test_one_component_is_one_line_and_one_cut_list():
    assert [line["component"] for line in narrowed("schedule", component="bracket")["lines"]] == ["bracket"]
    assert [entry["component"] for entry in narrowed("cut_lists", component="u_channel")["bars"]] == ["u_channel"]


def test_a_rooms_line_keeps_the_orders_figures_and_narrows_what_they_come_from():
    whole, line = part("schedule")["lines"][0], narrowed("schedule", room_id="room-b")["lines"][0]
    assert {key: line[key] for key in line if key not in ("derivation", "rooms")} == {
        key: whole[key] for key in whole if key not in ("derivation", "rooms")
    }
    assert line["rooms"] == [share for share in whole["rooms"] if share["room_id"] == "room-b"]
    assert {entry["room_id"] for entry in line["derivation"]} == {"room-b"}
    derived = sum(entry["count"] * entry["length_mm"] for entry in line["derivation"])
    assert derived == round(line["rooms"][0]["net_quantity"] * 1000)


def test_a_walls_bars_are_whole_and_all_that_hold_a_cut_for_it():
    whole, some = part("cut_lists")["bars"], narrowed("cut_lists", wall_id="wall-ab")["bars"]
    wanted = [bar for entry in whole for bar in entry["bars"] if any(c["wall_id"] == "wall-ab" for c in bar["cuts"])]
    assert [bar for entry in some for bar in entry["bars"]] == wanted
    assert 0 < len(wanted) < sum(len(entry["bars"]) for entry in whole)
    assert [entry["used"] for entry in some] == [entry["used"] for entry in whole]


def test_a_walls_layout_and_one_components_members_in_it():
    (layout,) = narrowed("layouts", wall_id="wall-ab")["layouts"]
    assert layout["wall_id"] == "wall-ab"
    (studs,) = narrowed("layouts", wall_id="wall-ab", component="c_stud")["layouts"]
    assert {member["component"] for member in studs["members"]} == {"c_stud"}
    assert studs["brackets"] == []
    (held,) = narrowed("layouts", wall_id="wall-ab", component="bracket")["layouts"]
    assert held["brackets"] == layout["brackets"] != []


def test_an_unknown_room_leaves_nothing():
    assert narrowed("schedule", room_id="elsewhere") == {"lines": []}
    assert narrowed("cut_lists", room_id="elsewhere") == {"bars": [], "sheets": [], "rolls": []}
    assert narrowed("layouts", room_id="elsewhere") == {"layouts": []}


def test_a_wall_and_another_room_leave_nothing():
    assert narrowed("layouts", room_id="room-b", wall_id="wall-aa") == {"layouts": []}
