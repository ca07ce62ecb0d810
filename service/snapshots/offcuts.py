"""What a takeoff does to the offcuts in store: which it cuts from, and what it leaves that is worth keeping."""

from collections.abc import Iterator

from service.engine.inputs import Item
from service.engine.order_results import CutBar, CutSheet, Takeoff
from service.snapshots.places import Json, offcut_place

OFFCUT_MEMBERS = ("component", "sku", "length_mm", "width_mm", "thickness_mm")
"""What an offcut is, whoever it belongs to."""


def offcuts_document(takeoff: Takeoff) -> Json:
    """`drawn`: the offcuts that bars, sheets and rolls are cut from, in the order of the cut lists, as they were when offered.
    `made`: the remainders worth keeping, `of` naming the bar, sheet or roll that each is left of; whole mm, rounded down.
    """
    cut: list[CutBar | CutSheet] = [bar for cut_list in takeoff.cut_lists for bar in cut_list.bars]
    cut += [sheet for flat in takeoff.flat_cut_lists for sheet in flat.sheets]
    return {
        "drawn": [
            {"from_offcut_id": offcut_place(one.offcut), **_members(one.item, one.item.length_mm, one.item.width_mm)}
            for one in cut
            if one.offcut is not None
        ],
        "made": [*_of_bars(takeoff), *_of_sheets(takeoff)],
    }


def _of_bars(takeoff: Takeoff) -> Iterator[Json]:
    for cut_list in takeoff.cut_lists:
        room = "" if cut_list.room is None else f" of room {cut_list.room}"
        for bar in cut_list.bars:
            if bar.reusable:
                yield {**_members(bar.item, bar.remainder_mm, None), "of": f"bar {bar.bar}{room}"}


def _of_sheets(takeoff: Takeoff) -> Iterator[Json]:
    for cut_list in takeoff.flat_cut_lists:
        room = "" if cut_list.room is None else f" of room {cut_list.room}"
        for sheet in cut_list.sheets:
            for left in sheet.remainders:
                if left.reusable:
                    of = f"{'roll' if cut_list.rolls else 'sheet'} {sheet.sheet}{room}"
                    yield {**_members(sheet.item, int(left.length_mm), int(left.width_mm)), "of": of}


def _members(item: Item, length_mm: int | None, width_mm: int | None) -> Json:
    return {**{name: getattr(item, name) for name in OFFCUT_MEMBERS}, "length_mm": length_mm, "width_mm": width_mm}
