"""Two takeoffs beside each other: figures by hand, and what must hold of any two."""

from collections import Counter
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.snapshots.compare import LINE_QUANTITIES, Compared, compare
from service.vocabulary import Component

COMPONENTS = [component.value for component in Component][:5]
WALLS = ["w1", "w2", "w3"]


def order(sku=None, length=3000, quantity=1, each=None, currency="GBP"):
    def money(amount):
        return None if each is None else {"amount": amount, "currency": currency}

    return {
        "sku": sku, "stock_length_mm": length, "length_mm": length, "width_mm": None, "needed": quantity, "allowance": 0,
        "packs": quantity, "quantity": quantity, "unit_price": money(each), "price": money(str(Decimal(each or 0) * quantity)),
    }  # fmt: skip


def pounds(amount):
    return {"amount": amount, "currency": "GBP"}


def line(component, net, entries, by_wall=(), price=None, mass=1.0):
    return {
        "component": component, "description": component, "unit": "m", "unit_code": "MTR", "line_price": price,
        **dict.fromkeys(LINE_QUANTITIES, 0), "net_quantity": net, "mass_kg": mass, "order": list(entries),
        "derivation": [{"wall_id": wall, "quantity": quantity} for wall, quantity in by_wall],
    }  # fmt: skip


def wall(id, length_mm=3000, openings=(), features=()):
    return {"id": id, "length_mm": length_mm, "lined": True, "openings": list(openings), "features": list(features)}


def window(id, width_mm=1200):
    return {"id": id, "kind": "window", "width_mm": width_mm}


def takeoff(name, lines=(), walls=(), price=None, same_as=None, **settings):
    inputs = {
        "parameters": {"stud_centres_mm": 600, **settings.get("parameters", {})},
        "components": {"stud": "c_stud"},
        "options": {"pool": "project", "kerf_mm": 0, "allowances": settings.get("allowances", {})},
        "survey": {"rooms": [{"id": "r1", "closed": False, "floor": "timber", "ceiling": "timber", "walls": list(walls)}]},
    }
    totals = {"rooms": 1, "lined_area_m2": 8.1, "floor_area_lost_m2": 0.3, "mass_kg": 20.4, "net_price": price}
    about = {"takeoff_id": name, "digest": name}
    return Compared(about=about, totals=totals, lines=lambda: lines, inputs=lambda: inputs, same_as=same_as or {})


def test_lines_and_orders_are_matched_by_component_and_by_what_is_ordered():
    """Before: 7 studs of 2400 at 3.50 and 2 of 3000 at 4.25; after: 5 of 2400, the rest of 3600 at 5.10, and a line more.

    Before it is 24.50 + 8.50 = 33.00, after 17.50 + 15.30 = 32.80.
    """
    old_studs = [order("S24", 2400, 7, "3.50"), order("S30", 3000, 2, "4.25")]
    new_studs = [order("S24", 2400, 5, "3.50"), order("S36", 3600, 3, "5.10")]
    new_brackets = line("bracket", 4, [order("B", None, 4, "0.30")], price=pounds("1.20"))
    before = takeoff("a", [line("c_stud", 20.3, old_studs, price=pounds("33.00"))])
    after = takeoff("b", [line("c_stud", 20.1, new_studs, price=pounds("32.80")), new_brackets])
    found = compare(before, after)
    studs, brackets = found["lines"]
    assert studs["net_quantity"] == {"before": 20.3, "after": 20.1, "difference": -0.2}
    assert studs["line_price"]["difference"] == pounds("-0.20")
    assert [(entry["sku"], entry["quantity"]["difference"]) for entry in studs["order"]] == [("S24", -2), ("S30", -2), ("S36", 3)]
    assert studs["order"][1]["price"] == {
        "before": pounds("8.50"),
        "after": pounds("0.00"),
        "difference": pounds("-8.50"),
    }
    assert brackets["net_quantity"] == {"before": 0, "after": 4, "difference": 4}
    assert brackets["line_price"]["difference"] == pounds("1.20")

    assert [(entry["sku"], entry["quantity"], entry["price"]["amount"]) for entry in found["adds"]] == [
        ("S36", 3, "15.30"),
        ("B", 4, "1.20"),
    ]
    assert [(entry["sku"], entry["quantity"], entry["price"]["amount"]) for entry in found["saves"]] == [
        ("S24", 2, "7.00"),
        ("S30", 2, "8.50"),
    ]


def test_a_line_of_which_nothing_differs_is_left_out_and_one_whose_price_alone_differs_is_not():
    same = line("bracket", 4, [order("B", None, 4, "0.30")])
    old = line("c_stud", 2.4, [order("S", 2400, 1, "3.50")], price=pounds("3.50"))
    new = line("c_stud", 2.4, [order("S", 2400, 1, "3.75")], price=pounds("3.75"))
    found = compare(takeoff("a", [same, old]), takeoff("b", [same, new]))
    (studs,) = found["lines"]
    assert studs["order"][0]["unit_price"]["difference"] == pounds("0.25")
    assert (found["adds"], found["saves"]) == ([], [])


def test_an_unknown_price_and_two_currencies_have_no_difference():
    sterling, euros = pounds("3.50"), {"amount": "3.50", "currency": "EUR"}
    for old, new in ((None, sterling), (sterling, None), (sterling, euros)):
        found = compare(takeoff("a", price=old), takeoff("b", price=new))
        assert found["totals"]["net_price"] == {"before": old, "after": new, "difference": None}
    unweighed = compare(takeoff("a", [line("bracket", 4, [], mass=None)]), takeoff("b", [line("bracket", 5, [], mass=2.0)]))
    assert unweighed["lines"][0]["mass_kg"] == {"before": None, "after": 2.0, "difference": None}


def test_walls_are_added_removed_or_changed_and_a_changed_one_says_in_what():
    """The kept wall is 300 longer and its window 100 narrower, a window takes the door's place; channel 6.0 → 6.6 m."""
    door = {"id": "o2", "kind": "door", "width_mm": 800}
    socket = {"id": "f1", "kind": "socket", "x_mm": 400}
    moved = {**socket, "x_mm": 650}
    before = takeoff("a", [line("u_channel", 11.0, [], [("w1", 3.0), ("w1", 3.0), ("w2", 5.0)])],
                     [wall("w1", 3000, [window("o1"), door], [socket]), wall("w2"), wall("w4")])  # fmt: skip
    after = takeoff("b", [line("u_channel", 8.6, [], [("w1", 3.3), ("w1", 3.3), ("w3", 2.0)])],
                    [wall("w1", 3300, [window("o1", 1100), window("o3")], [moved]), wall("w3"), wall("w4")])  # fmt: skip
    walls = compare(before, after)["walls"]
    need = {"component": "u_channel", "unit": "m", "unit_code": "MTR"}
    assert walls["added"] == [
        {"room_id": "r1", "wall_id": "w3", "quantities": [{**need, "before": 0, "after": 2.0, "difference": 2}]}
    ]
    assert walls["removed"] == [
        {"room_id": "r1", "wall_id": "w2", "quantities": [{**need, "before": 5.0, "after": 0, "difference": -5}]}
    ]
    (changed,) = walls["changed"]
    assert (changed["wall_id"], changed["members"]) == ("w1", [{"member": "length_mm", "before": 3000, "after": 3300}])
    assert changed["openings"] == {
        "added": [{"opening_id": "o3", "kind": "window"}],
        "removed": [{"opening_id": "o2", "kind": "door"}],
        "changed": [{"opening_id": "o1", "members": [{"member": "width_mm", "before": 1200, "after": 1100}]}],
    }
    assert changed["features"]["changed"] == [{"feature_id": "f1", "members": [{"member": "x_mm", "before": 400, "after": 650}]}]
    assert changed["quantities"] == [{**need, "before": 6.0, "after": 6.6, "difference": 0.6}]


def test_settings_that_differ_are_named_with_both_values():
    before = takeoff("a", parameters={"frame_offset_mm": 100}, allowances={"c_stud": 5})
    after = takeoff("b", parameters={"frame_offset_mm": 80})
    assert compare(before, after)["settings"] == [
        {"group": "parameters", "member": "frame_offset_mm", "before": 100, "after": 80},
        {"group": "allowances", "member": "c_stud", "before": 5, "after": None},
    ]


def test_things_without_ids_of_their_own_are_known_by_their_place():
    before = takeoff("a", [], [wall("made-1", 3000), wall("mine", 2000)], same_as={"made-1": "1/1"})
    after = takeoff("b", [], [wall("made-9", 3100), wall("mine", 2000)], same_as={"made-9": "1/1"})
    walls = compare(before, after)["walls"]
    assert (walls["added"], walls["removed"]) == ([], [])
    assert [(entry["wall_id"], entry["members"][0]["after"]) for entry in walls["changed"]] == [("made-9", 3100)]


def test_equal_digests_differ_in_nothing_and_nothing_is_read():
    def unread() -> Any:
        raise AssertionError("read without need")

    one = takeoff("a", price=pounds("3.50"))
    side = Compared(about=one.about, totals=one.totals, lines=unread, inputs=unread, same_as={})
    found = compare(side, side)
    assert found["equal"] is True
    assert [found[name] for name in ("settings", "lines", "adds", "saves")] == [[], [], [], []]
    assert found["walls"] == {"added": [], "removed": [], "changed": []}
    assert found["totals"]["net_price"]["difference"] == pounds("0.00")


quantities = st.integers(0, 5000).map(lambda n: n / 100)
prices = st.none() | st.builds(
    lambda cents, currency: {"amount": f"{cents / 100:.2f}", "currency": currency},
    st.integers(0, 9999),
    st.sampled_from(["GBP", "EUR"]),
)
orders = st.builds(
    order, st.sampled_from([None, "A", "B"]), st.sampled_from([2400, 3000]), st.integers(0, 9),
    st.sampled_from([None, "0.125", "3.50"]), st.sampled_from(["GBP", "EUR"]),
)  # fmt: skip
lines = st.lists(
    st.builds(
        line, st.sampled_from(COMPONENTS), quantities,
        st.lists(orders, max_size=3, unique_by=lambda entry: (entry["sku"] or "", entry["length_mm"])),
        st.lists(st.tuples(st.sampled_from(WALLS), quantities), max_size=4), prices, st.none() | quantities,
    ),
    max_size=4, unique_by=lambda made: made["component"],
)  # fmt: skip
walls = st.lists(
    st.builds(wall, st.sampled_from(WALLS), st.sampled_from([2000, 3000]),
              st.lists(st.builds(window, st.sampled_from(["o1", "o2"]), st.sampled_from([600, 900])), max_size=2,
                       unique_by=lambda made: made["id"])),
    max_size=3, unique_by=lambda made: made["id"],
)  # fmt: skip
offsets = st.sampled_from([80, 100])
sides = st.tuples(lines, walls, prices, offsets)


@given(sides, sides)
def test_read_the_other_way_round_it_is_the_same_with_every_sign_turned(one, other):
    a, b = (
        takeoff(name, made, standing, price, parameters={"frame_offset_mm": offset})
        for name, (made, standing, price, offset) in (("a", one), ("b", other))
    )
    there, back = compare(a, b), compare(b, a)
    assert _sorted(turned(there)) == _sorted(back)


@given(sides, sides)
def test_what_is_ordered_after_is_what_was_ordered_before_with_what_it_adds_and_without_what_it_saves(one, other):
    a, b = (takeoff(name, made, standing) for name, (made, standing, *_) in (("a", one), ("b", other)))
    found = compare(a, b)
    expected = Counter(pieces(one[0]))
    expected.update(changed(found["adds"]))
    expected.subtract(changed(found["saves"]))
    assert {key: n for key, n in expected.items() if n} == {key: n for key, n in pieces(other[0]).items() if n}


def pieces(of_lines):
    return {(of["component"], entry["sku"], entry["length_mm"]): entry["quantity"] for of in of_lines for entry in of["order"]}


def changed(entries):
    return {(entry["component"], entry["sku"], entry["length_mm"]): entry["quantity"] for entry in entries}


def turned(value):
    """A comparison as it must read the other way round."""
    if isinstance(value, list):
        return [turned(entry) for entry in value]
    if not isinstance(value, dict):
        return value
    swapped = {name: turned(entry) for name, entry in value.items()}
    for left, right in (("before", "after"), ("added", "removed"), ("adds", "saves")):
        if left in swapped:
            swapped[left], swapped[right] = swapped[right], swapped[left]
    match swapped.get("difference"):
        case {"amount": amount, "currency": currency}:
            swapped["difference"] = {"amount": str(-Decimal(amount) + 0), "currency": currency}
        case int() | float() as number:
            swapped["difference"] = -number
    return swapped


def _sorted(value):
    """Walls stand in the order of the side that comes first: that alone may differ."""
    if isinstance(value, list):
        return sorted((_sorted(entry) for entry in value), key=repr)
    return {name: _sorted(value[name]) for name in sorted(value)} if isinstance(value, dict) else value
