"""Parts of a takeoff narrowed to a room, a wall, a component: things are left out, figures never change."""

from collections.abc import Callable, Mapping
from typing import Any

from service.snapshots.places import Json
from service.vocabulary import Component

Belongs = Callable[[Mapping[str, Any]], bool]


def narrow(part: str, whole: Json, *, room_id: str | None, wall_id: str | None, component: str | None) -> Json:
    """`whole` with what is asked for. No filter: as it is.

    schedule: lines that the room or wall uses, with the derivation there and the room's share. Quantities, orders and prices stay
        those of the whole takeoff, since bars and packs are shared; the room's own net quantity stands in `rooms`.
    cut_lists: bars with a cut for the room or wall, each of them whole, since it is cut as a whole; `used` and `lower_bound` stay
        those of the whole list.
    layouts: the room's or wall's layouts; for a component its members, fixings and, for brackets and clips, brackets.
    """
    if room_id is None and wall_id is None and component is None:
        return whole

    def belongs(thing: Mapping[str, Any]) -> bool:
        return (room_id is None or thing["room_id"] == room_id) and (wall_id is None or thing["wall_id"] == wall_id)

    if part == "schedule":
        lines = [line for line in whole["lines"] if component is None or line["component"] == component]
        return {"lines": [line for line in (_line(line, belongs) for line in lines) if line["derivation"]]}
    if part == "cut_lists":
        lists = [entry for entry in whole["bars"] if component is None or entry["component"] == component]
        narrowed = [_cut_list(entry, belongs) for entry in lists]
        return {**whole, "bars": [entry for entry in narrowed if entry["bars"] or entry["unplaced"]]}
    if part == "layouts":
        layouts = [layout for layout in whole["layouts"] if belongs(layout)]
        return {"layouts": layouts if component is None else [_layout(layout, component) for layout in layouts]}
    return whole


def _line(line: Json, belongs: Belongs) -> Json:
    derivation = [entry for entry in line["derivation"] if belongs(entry)]
    rooms = {entry["room_id"] for entry in derivation}
    return {**line, "derivation": derivation, "rooms": [share for share in line["rooms"] if share["room_id"] in rooms]}


def _cut_list(cut_list: Json, belongs: Belongs) -> Json:
    return {
        **cut_list,
        "bars": [bar for bar in cut_list["bars"] if any(belongs(cut) for cut in bar["cuts"])],
        "unplaced": [cut for cut in cut_list["unplaced"] if belongs(cut)],
    }


def _layout(layout: Json, component: str) -> Json:
    return {
        **layout,
        "members": [member for member in layout["members"] if member["component"] == component],
        "fixings": [fixings for fixings in layout["fixings"] if fixings["component"] == component],
        "brackets": layout["brackets"] if component in (Component.BRACKET, Component.BRACKET_CLIP) else [],
    }
