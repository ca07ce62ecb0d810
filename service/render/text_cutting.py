"""The cut list as a person at the saw follows it: bar by bar, alike bars together, every piece with its label."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from service.render.text_places import COLUMNS, Places, heading, wrapped
from service.vocabulary import COMPONENT_NAMES, STUD_ROLES, Component, CutStatus, Role

Json = Mapping[str, Any]

UPRIGHT = STUD_ROLES | {Role.CORNER_PROFILE, Role.STOP_END_CHANNEL}
PROVEN = {
    CutStatus.OPTIMAL: "no plan needs less",
    CutStatus.BOUNDED: "no plan needs less than {bound}",
    CutStatus.HEURISTIC: "a good plan, not proven the best",
}


def cutting_lines(cut_lists: Sequence[Json], places: Places) -> list[str]:
    lines = heading("Cut list")
    lines += wrapped(
        "Cut each bar in the order given, longest piece first, and write the label on every piece before the next cut."
    )
    for cut_list in cut_lists:
        lines += ["", *_one_list(cut_list, places)]
    return lines


def _one_list(cut_list: Json, places: Places) -> list[str]:
    name = COMPONENT_NAMES[Component(cut_list["component"])]
    room = f", {places.room(cut_list['room_id'])}" if cut_list["room_id"] else ""
    new = [bar for bar in cut_list["bars"] if not bar["from_offcut_id"]]
    stock_m = sum(bar["stock_length_mm"] for bar in new) / 1000
    old = len(cut_list["bars"]) - len(new)
    offcuts = f" and {old} offcut{'s' if old > 1 else ''}" if old else ""
    proven = PROVEN[CutStatus(cut_list["status"])].format(bound=_amount(cut_list["lower_bound"]))
    kerf = f", saw cut {cut_list['kerf_mm']} mm" if cut_list["kerf_mm"] else ""
    lines = wrapped(f"{name}{room}: {len(new)} bar{'' if len(new) == 1 else 's'}, {stock_m:.2f} m{offcuts}{kerf}; {proven}.")
    for _, bars in groupby(cut_list["bars"], key=lambda bar: bar["pattern"]):
        lines += _pattern(list(bars))
    if cut_list["unplaced"]:
        pieces = "; ".join(_piece(cut) for cut in cut_list["unplaced"])
        lines += wrapped(f"NOT CUT, no stock is long enough: {pieces}", first="  ", rest="    ")
    return lines


def _pattern(bars: Sequence[Json]) -> list[str]:
    first = bars[0]
    lengths = [cut["length_mm"] for cut in first["cuts"]]
    sums = " + ".join(
        f"{count} × {length}" if count > 1 else str(length) for length, count in ((n, len(list(g))) for n, g in groupby(lengths))
    )
    left = f"{first['remainder_mm']} left" + (", keep it" if first["reusable"] else "")
    sku = f" ({first['sku']})" if first["sku"] else ""
    one = "offcut" if first["from_offcut_id"] else "bar"
    many = f"{len(bars)} {one}{'s' if len(bars) > 1 else ''} of"
    lines = wrapped(
        f"Pattern {first['pattern']}: {many} {first['stock_length_mm']}{sku} = {sums}, {left}", first="  ", rest="      "
    )
    if len(first["cuts"]) == 1:
        return lines + _in_columns([f"[ ] {bar['bar']:>3}  {bar['cuts'][0]['label']}{_shape(bar['cuts'][0])}" for bar in bars])
    for bar in bars:
        pieces = " | ".join(_piece(cut) for cut in bar["cuts"])
        lines += wrapped(f"[ ] {bar['bar']:>3}  {pieces}", first="    ", rest=" " * 13)
    return lines


def _in_columns(entries: Sequence[str]) -> list[str]:
    width = max(len(entry) for entry in entries) + 3
    across = max(1, (COLUMNS - 4) // width)
    return ["    " + "".join(f"{entry:{width}}" for entry in entries[k : k + across]) for k in range(0, len(entries), across)]


def _piece(cut: Json) -> str:
    return f"{cut['length_mm']} {cut['label']}{_shape(cut)}"


def _shape(cut: Json) -> str:
    """Splays and folds. A splay is positive where it rises to the right, as one faces the wall."""
    start, end = cut.get("splay_start_deg", 0), cut.get("splay_end_deg", 0)
    if cut["role"] in UPRIGHT:
        ends = [("foot", start), ("head", end)]
        notes = [f"{which} {abs(deg):g}° {'up' if deg > 0 else 'down'} to the right" for which, deg in ends if deg]
    else:
        notes = [f"{which} splayed {abs(deg):g}°" for which, deg in (("left", start), ("right", end)) if deg]
        if start == end and start:
            notes = [f"both ends splayed {abs(start):g}°"]
    if cut.get("fold_marks_mm"):
        notes.append(f"fold at {' and '.join(str(mark) for mark in cut['fold_marks_mm'])}")
    return f" ({'; '.join(notes)})" if notes else ""


def _amount(cost: Json) -> str:
    if "stock_mm" in cost:
        return f"{cost['stock_mm'] / 1000:.2f} m"
    return f"{cost['price']['amount']} {cost['price']['currency']}"
