"""The cutting of boards, linings and rolls as a person with knife and straightedge follows it, every piece labelled."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from service.render.text_places import Places, heading, mm, wrapped
from service.vocabulary import COMPONENT_NAMES, Component, CutDirection, CutStatus

Json = Mapping[str, Any]

PROVEN = {
    CutStatus.OPTIMAL: "no plan needs fewer",
    CutStatus.BOUNDED: "no plan needs less than {bound}",
    CutStatus.HEURISTIC: "a good plan, not proven the best",
}


def sheet_lines(cut_lists: Mapping[str, Sequence[Json]], places: Places) -> list[str]:
    """`cut_lists`: the document with its `sheets` and `rolls`."""
    sheets, rolls = cut_lists["sheets"], cut_lists["rolls"]
    if not sheets and not rolls:
        return []
    lines = heading("Sheets and rolls")
    lines += wrapped(
        "Each piece as width × length with its place on the sheet, across × along, from the lower left corner; straight cuts "
        "in the order in which they are made, each from edge to edge of the part that is left."
    )
    for of, one, many in ((sheets, "sheet", "sheets"), (rolls, "roll", "rolls")):
        for cut_list in of:
            lines += ["", *_one_list(cut_list, one, many, places)]
    return lines


def _one_list(cut_list: Json, one: str, many: str, places: Places) -> list[str]:
    name = COMPONENT_NAMES[Component(cut_list["component"])]
    room = f", {places.room(cut_list['room_id'])}" if cut_list["room_id"] else ""
    proven = PROVEN[CutStatus(cut_list["status"])].format(bound=_amount(cut_list["lower_bound"], one, many))
    new = sum(not sheet["from_offcut_id"] for sheet in cut_list["sheets"])
    old = len(cut_list["sheets"]) - new
    offcuts = f" and {_count(old, 'offcut', 'offcuts')}" if old else ""
    lines = wrapped(f"{name}{room}: {_count(new, one, many)}{offcuts}; {proven}.")
    for _, alike in groupby(cut_list["sheets"], key=lambda sheet: sheet["pattern"]):
        lines += _pattern(list(alike), one, many)
    if cut_list["unplaced"]:
        pieces = "; ".join(f"{_size(piece)} {piece['label']}" for piece in cut_list["unplaced"])
        lines += wrapped(f"NOT CUT, nothing is large enough: {pieces}", first="  ", rest="    ")
    return lines


def _pattern(alike: Sequence[Json], one: str, many: str) -> list[str]:
    first = alike[0]
    sku = f" ({first['sku']})" if first["sku"] else ""
    kept = [f"{mm(r['width_mm'])} × {mm(r['length_mm'])}" for r in first["remainders"] if r["reusable"]]
    left = f", keep {' and '.join(kept)}" if kept else ""
    one, many = ("offcut", "offcuts") if first["from_offcut_id"] else (one, many)
    of = f"{_count(len(alike), one, many)} of {first['width_mm']} × {first['length_mm']}"
    lines = wrapped(f"Pattern {first['pattern']}: {of}{sku}{left}", first="  ", rest="      ")
    if first["cuts"]:
        lines += wrapped("cut " + "; ".join(_cut(cut) for cut in first["cuts"]), first="      ", rest="      ")
    for sheet in alike:
        pieces = " | ".join(_piece(piece) for piece in sheet["pieces"])
        lines += wrapped(f"[ ] {sheet['sheet']:>3}  {pieces}", first="    ", rest=" " * 13)
    return lines


def _piece(piece: Json) -> str:
    at = f" at {mm(piece['x_mm'])} × {mm(piece['y_mm'])}" if piece["x_mm"] or piece["y_mm"] else ""
    turned = ", turned" if piece["turned"] else ""
    cuts = "; ".join(f"{_hole(c)} at {mm(c['x_mm'])} × {mm(c['y_mm'])}" for c in piece["cut_outs"])
    return f"{_size(piece)} {piece['label']}{at}{turned}{f' ({cuts})' if cuts else ''}"


def _cut(cut: Json) -> str:
    if cut["direction"] == CutDirection.ACROSS:
        return f"across at {mm(cut['y_mm'])} from {mm(cut['x_mm'])} to {mm(cut['x_mm'] + cut['length_mm'])}"
    return f"along at {mm(cut['x_mm'])} from {mm(cut['y_mm'])} to {mm(cut['y_mm'] + cut['length_mm'])}"


def _hole(cut: Json) -> str:
    """A round hole by its diameter; its place is that of its square, of which a joint of boards may leave a part."""
    size = f"{mm(cut['width_mm'])} × {mm(cut['height_mm'])}"
    if cut["diameter_mm"] is None:
        return f"cut out {size}"
    whole = cut["width_mm"] == cut["height_mm"] == cut["diameter_mm"]
    return f"hole ø {mm(cut['diameter_mm'])}" if whole else f"{size} of a hole ø {mm(cut['diameter_mm'])}"


def _size(piece: Json) -> str:
    return f"{mm(piece['width_mm'])} × {mm(piece['length_mm'])}"


def _count(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _amount(cost: Json, one: str, many: str) -> str:
    if "count" in cost:
        return _count(cost["count"], one, many)
    return f"{cost['price']['amount']} {cost['price']['currency']}"
