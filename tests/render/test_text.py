"""The text of a takeoff: what a fitter finds in it, and that it fits the page."""

from dataclasses import replace

import pytest

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.heat_inputs import HeatInputs
from service.engine.inputs import Item, Opening, Options, Room, TakeoffInput, Wall
from service.engine.physics.climate import Air, Climate
from service.engine.recipe import take_off
from service.render.text import takeoff_text
from service.snapshots.encode import encode
from service.snapshots.fill import document, fill
from service.vocabulary import Component, Currency, OpeningKind, Pool

WINDOW = Opening(kind=OpeningKind.WINDOW, offset_mm=1200, width_mm=1200, sill_mm=900, height_mm=1200)
PARTS = ("schedule", "cut_lists", "layouts")


def wall(length_mm, *openings, left=2500, right=2500, **rest):
    return Wall(length_mm=length_mm, height_left_mm=left, height_right_mm=right, openings=openings, **rest)


ROOM = Room(walls=(wall(4000, WINDOW), wall(3000), wall(4000), wall(3000)), closed=True)
LOFT = Room(walls=(wall(3000, right=1500),))


def answered(*rooms, parts=PARTS, offcut_ids=0, **rest):
    """The takeoff as it is answered, with ids that nobody could mistake for labels."""
    asked = TakeoffInput(**{"rooms": rooms, "items": BUILTIN_RANGE, **rest})
    snapshot = encode(asked, take_off(asked))
    ids = {f"offcut-{n}": f"yard-{n}" for n in range(1, offcut_ids + 1)}
    for r, room in enumerate(rooms, 1):
        ids[f"{r}"] = f"room-{r:04}"
        for w, of in enumerate(room.walls, 1):
            ids[f"{r}/{w}"] = f"wall-{r:04}-{w:04}"
            ids |= {f"{r}/{w}/opening-{k}": f"opening-{k}" for k, _ in enumerate(of.openings, 1)}
    bodies = {part: [(key, body) for (of, key), body in snapshot.parts.items() if of == part] for part in parts}
    return {"id": "takeoff-1", **fill(snapshot.summary, ids), **{part: document(part, bodies[part], ids) for part in parts}}


def section(text: str, title: str) -> str:
    _, _, after = text.partition(f"\n{title}\n{'=' * len(title)}\n")
    return after.split("\n\n" if title == "FINDINGS" else "\n====")[0]


def test_the_opening_lines_say_how_much_it_is():
    # 32.75 m² of faces (four of 3775 or 2775 by 2500) less a window of 1.44 m²; 1.52 m² of floor.
    lines = takeoff_text(answered(ROOM), title="Ground floor").split("\n")
    assert lines[0] == "Ground floor"
    assert "1 room, 31.3 m² lined, 1.52 m² of floor taken" in lines[3]


def test_findings_stand_under_their_room_and_wall_with_their_severity():
    survey = {"rooms": [{"name": "Front room", "walls": [{"name": "street"}]}, {"name": None, "walls": []}]}
    tall = Room(walls=(wall(3000, left=5000, right=5000),))
    lines = section(takeoff_text(answered(ROOM, tall), survey), "FINDINGS").split("\n")
    assert lines[0] == "Room 1, Front room"
    assert lines[1].startswith("    WARNING  The lining takes 1.52 m² of 12.00 m²")
    assert lines[2:4] == ["Room 2", "  Wall 2/1"]
    assert lines[4].startswith("    WARNING  ")


def test_errors_come_before_warnings_in_one_place():
    found = answered(ROOM)
    (warning,) = found["findings"]
    found["findings"] = [
        warning,
        {**warning, "severity": "info", "message": "b"},
        {**warning, "severity": "error", "message": "a"},
    ]
    words = [line.split()[0] for line in section(takeoff_text(found), "FINDINGS").split("\n")[1:] if line.startswith("    ")]
    assert [word for word in words if word.isupper()] == ["ERROR", "WARNING", "INFO"]


def test_what_is_about_the_whole_job_stands_first():
    found = answered(ROOM, items=(*BUILTIN_RANGE[:5], *(replace(i, on_hand=1) for i in BUILTIN_RANGE[5:])))
    assert section(takeoff_text(found), "FINDINGS").startswith("The whole job\n    WARNING  ")


def test_no_findings_are_said_to_be_none():
    assert section(takeoff_text(answered(Room(walls=(wall(3000),)))), "FINDINGS") == "None."


def test_offcuts_are_called_what_they_are_in_cut_list_and_order():
    # A wall of 2400 by 2400: two channels of 2400, one of them from an offcut; both boards of 1200 × 2390 from offcuts of
    # 1200 × 2400.
    channel = Item(component=Component.U_CHANNEL, length_mm=2450)
    boards = [Item(component=Component.PLASTERBOARD, width_mm=1200, length_mm=2400)] * 2
    room = Room(walls=(wall(2400, left=2400, right=2400),))
    text = takeoff_text(answered(room, offcuts=(channel, *boards), offcut_ids=3))
    assert "U-section channel: 1 bar, 3.00 m and 1 offcut; no plan needs less." in text
    assert "1 offcut of 2450 = 2400, 50 left" in text
    assert "Plasterboard: 0 sheets and 2 offcuts; no plan needs fewer." in text
    assert "2 offcuts of 1200 × 2400" in text
    assert any("Plasterboard" in line and "all from offcuts" in line for line in section(text, "TO ORDER").split("\n"))
    assert "From" in section(text, "QUANTITIES")
    assert "From" not in section(takeoff_text(answered(room)), "QUANTITIES")


def test_heat_and_moisture_are_told_wall_by_wall():
    """Brick 225: 0.225/0.77 + 0.17 = 0.4622 m²·K/W, so 2.16 before, as 2.16 · 10 m² = 21.6 W/K. With 0.05 + 0.175 + 2.2857
    it is 2.9729, so 0.34: eight brackets on 10 m² stay under 3 %. The film of sd 50 keeps it dry."""
    outside = tuple(Air(5, 85) for _ in range(12))
    asked = HeatInputs(target_u_value_w_m2k=0.2, climate=Climate(outside, tuple(Air(20, 60) for _ in range(12))))
    found = answered(Room(walls=(wall(4000),)), parts=("layouts", "thermal", "cautions"), heat=asked)
    text = takeoff_text(found)
    lines = section(text, "HEAT AND MOISTURE").split("\n")
    (room,) = [line for line in lines if line.startswith("Room 1")]
    assert "21.6 W/K before" in room
    (of_wall,) = [line for line in lines if line.startswith("  1/1 ")]
    more = found["thermal"]["walls"][0]["insulation_to_target_mm"]
    assert f"    2.16      0.34      0.2 missed by {more} mm of insulation  warm enough against mould" in of_wall
    assert "Within wall 1/1: with the membrane dry all year; without it up to" in text
    assert "generic values" in text and "simulation and a competent assessor" in text.replace("\n", " ")
    assert "- Drilling and cutting masonry" in text and "None of this says that a job is safe" in text
    assert max(len(line) for line in text.split("\n")) <= 100


def test_without_a_climate_nothing_is_said_about_moisture():
    text = takeoff_text(answered(Room(walls=(wall(4000),)), parts=("thermal",)))
    assert "Nothing is said about moisture: that needs a climate." in text and "mould" not in text


def test_every_member_is_in_the_cut_list_once_with_its_length():
    found = answered(ROOM, LOFT)
    text = takeoff_text(found)
    cuts = text[text.index("\nCUT LIST\n") : text.index("\nWALLS\n")]
    words = cuts.replace("|", " ").split()
    for layout in found["layouts"]["layouts"]:
        for member in layout["members"]:
            assert words.count(member["label"]) == 1, member["label"]
    lists = found["cut_lists"]
    assert cuts.count("[ ]") == sum(len(entry["bars"]) for entry in lists["bars"]) + sum(
        len(entry["sheets"]) for entry in (*lists["sheets"], *lists["rolls"])
    )


def test_every_board_lining_and_strip_is_on_one_sheet_or_roll_and_on_its_wall():
    found = answered(ROOM, LOFT)
    text = takeoff_text(found)
    sheets = text[text.index("\nSHEETS AND ROLLS\n") : text.index("\nWALLS\n")].replace("|", " ").replace(",", " ").split()
    pieces = [
        p
        for layout in found["layouts"]["layouts"]
        for kind in ("boards", "reveals", "insulation", "membrane")
        for p in layout[kind]
    ]
    assert len(pieces) > 20
    assert all(sheets.count(piece["label"]) == 1 for piece in pieces)


def test_a_pattern_says_how_its_bars_are_made_up():
    # A wall of 3000 between unlined walls, 2500 high: studs of 2490, from 2700: 210 left each.
    found = answered(Room(walls=(wall(3000),)), items=(Item(component=Component.C_STUD, length_mm=2700),))
    assert "bars of 2700 = 2490, 210 left\n" in takeoff_text(found)


def test_splays_and_folds_are_told_to_the_saw():
    # 1000 down over 3000: atan(1/3) is 18.43 degrees. The trims of a window 1200 wide are folded 150 from each end of 1500.
    text = takeoff_text(answered(LOFT, ROOM))
    assert "(head 18.4° down to the right)" in text
    assert "(both ends splayed 18.4°)" in text
    assert "1500 2/1/head_trim-01 (fold at 150 and 1350)" in text


def test_pieces_that_cannot_be_cut_are_shouted():
    text = takeoff_text(answered(ROOM, items=BUILTIN_RANGE[:4]))
    assert "NOT CUT, no stock is long enough" in text


def test_a_wall_is_set_out_from_its_left_hand_corner():
    # d = 100: frame 100 to 3900, end studs half a face (24) in; jambs 24 outside the window at 1200 and 2400;
    # the grid at 700, 1300, … with 1300 and 1900 over the window.
    text = takeoff_text(answered(ROOM), {"rooms": [{"name": "Front room", "walls": [{"name": "street"}]}]})
    walls = text[text.index("\nWALLS\n") :]
    assert "\nRoom 1, Front room\n\n  Wall 1/1, street: 4000 long, 2500 high\n" in walls
    assert "Snap      frame line 100 off the masonry, from 100 to 3900; finished face 112.5 off it" in walls
    assert "Window    1200 to 2400, sill 900, head 2100\n" in walls
    assert "Studs at  124 end, 700, 1176 jamb, 2424 jamb, 2500, 3100, 3700, 3876 end\n" in walls
    assert "Short     1300 (0 to 890, 2100 to 2490), 1900 (0 to 890, 2100 to 2490)\n" in walls


def test_the_order_names_sizes_packs_and_prices_where_there_are_any():
    priced = tuple(replace(item, price_minor=100, sku=f"S{n}") for n, item in enumerate(BUILTIN_RANGE))
    order = section(takeoff_text(answered(ROOM, items=priced, currency=Currency.GBP)), "TO ORDER")
    assert "Sku" in order and "Each" in order and "1.00 GBP" in order
    unpriced = section(takeoff_text(answered(ROOM)), "TO ORDER")
    assert "Sku" not in unpriced and "Each" not in unpriced
    assert "1 × 1000" in unpriced


def test_what_the_range_lacks_is_said_on_the_order():
    assert "none in the range" in section(takeoff_text(answered(ROOM, items=BUILTIN_RANGE[:5])), "TO ORDER")


def test_text_of_others_is_shown_as_it_is():
    odd = tuple(replace(item, sku="[bold red]X[/]", price_minor=100) for item in BUILTIN_RANGE)
    assert "[bold red]X[/]" in takeoff_text(answered(ROOM, items=odd, currency=Currency.GBP))


def test_names_cannot_move_the_cursor():
    survey = {"rooms": [{"name": "Hall\x1b[2J\r\nWARNING all is well", "walls": []}]}
    text = takeoff_text(answered(ROOM), survey, title="A\x07B\x1b]0;C")
    assert not [character for character in text if not character.isprintable() and character != "\n"]
    assert "\nWARNING all is well" not in text


@pytest.mark.parametrize(
    "document",
    [
        answered(ROOM, LOFT),
        answered(ROOM, LOFT, options=Options(pool=Pool.ROOM, kerf_mm=3)),
        answered(ROOM, items=tuple(replace(i, sku="A-LONG-ARTICLE-NUMBER-" * 3, price_minor=99999) for i in BUILTIN_RANGE),
                 currency=Currency.GBP),
        answered(*[LOFT] * 12),
        answered(),
    ],
    ids=["two rooms", "a room at a time, with kerf", "long article numbers", "twelve rooms", "nothing"],
)  # fmt: skip
def test_no_line_is_wider_than_the_page(document):
    text = takeoff_text(document, title="Ground floor")
    assert max(len(line) for line in text.split("\n")) <= 100
    assert text.endswith("\n") and not text.endswith("\n\n")


def test_parts_that_are_not_included_are_left_out():
    text = takeoff_text(answered(ROOM, parts=()))
    assert "FINDINGS" in text
    assert not {"TO ORDER", "CUT LIST", "WALLS"} & set(text.split("\n"))


def test_the_same_takeoff_is_the_same_text():
    assert takeoff_text(answered(ROOM, LOFT)) == takeoff_text(answered(ROOM, LOFT))
