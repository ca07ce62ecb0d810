"""Parts of a takeoff narrowed to a room, a wall, a component: things are left out, figures never change."""

from collections.abc import Callable, Mapping
from typing import Any

from service.snapshots.places import Json
from service.vocabulary import Component

FLAT_KINDS = ("boards", "reveals", "insulation", "membrane")
Belongs = Callable[[Mapping[str, Any]], bool]


def narrow(part: str, whole: Json, *, room_id: str | None, wall_id: str | None, component: str | None) -> Json:
    """`whole` with what is asked for. No filter: as it is.

    schedule: lines that the room or wall uses, with the derivation there and the room's share. Quantities, orders and prices stay
        those of the whole takeoff, since bars and packs are shared; the room's own net quantity stands in `rooms`.
    cut_lists: bars, sheets and rolls with a cut for the room or wall, each of them whole, since it is cut as a whole; `used` and
        `lower_bound` stay those of the whole list.
    layouts: the room's or wall's layouts; for a component its members, pieces, fixings, usages and, for brackets and clips,
        brackets.
    thermal: the room's or wall's walls, the rooms they are in, and the constructions they have; sums stay those of whole rooms.
    cautions: those that the room or wall calls for.
    """
    if room_id is None and wall_id is None and component is None:
        return whole

    def belongs(thing: Mapping[str, Any]) -> bool:
        return (room_id is None or thing["room_id"] == room_id) and (wall_id is None or thing["wall_id"] == wall_id)

    if part == "schedule":
        lines = [line for line in whole["lines"] if component is None or line["component"] == component]
        return {"lines": [line for line in (_line(line, belongs) for line in lines) if line["derivation"]]}
    if part == "cut_lists":
        return {
            kind: [
                narrowed
                for entry in entries
                if component is None or entry["component"] == component
                if (narrowed := _cut_list(entry, belongs)) is not None
            ]
            for kind, entries in whole.items()
        }
    if part == "layouts":
        layouts = [layout for layout in whole["layouts"] if belongs(layout)]
        return {"layouts": layouts if component is None else [_layout(layout, component) for layout in layouts]}
    if part == "thermal":
        walls = [wall for wall in whole["walls"] if belongs(wall)]
        rooms = {wall["room_id"] for wall in walls} | {room_id}
        moisture = [_of_walls(one, belongs) for one in whole["moisture"]]
        return {
            **whole,
            "walls": walls,
            "rooms": [room for room in whole["rooms"] if room["room_id"] in rooms],
            "moisture": [one for one in moisture if one["walls"]],
        }
    if part == "cautions":
        cautions = [_of_walls(caution, belongs) for caution in whole["cautions"]]
        return {"cautions": [caution for caution in cautions if caution["walls"]]}
    return whole


def _of_walls(thing: Json, belongs: Belongs) -> Json:
    return {**thing, "walls": [wall for wall in thing["walls"] if belongs(wall)]}


def _line(line: Json, belongs: Belongs) -> Json:
    derivation = [entry for entry in line["derivation"] if belongs(entry)]
    rooms = {entry["room_id"] for entry in derivation}
    return {**line, "derivation": derivation, "rooms": [share for share in line["rooms"] if share["room_id"] in rooms]}


def _cut_list(cut_list: Json, belongs: Belongs) -> Json | None:
    """None where nothing of it is left."""
    stock, pieces = ("bars", "cuts") if "bars" in cut_list else ("sheets", "pieces")
    whole = [one for one in cut_list[stock] if any(belongs(cut) for cut in one[pieces])]
    unplaced = [cut for cut in cut_list["unplaced"] if belongs(cut)]
    return {**cut_list, stock: whole, "unplaced": unplaced} if whole or unplaced else None


def _layout(layout: Json, component: str) -> Json:
    return {
        **layout,
        "members": [member for member in layout["members"] if member["component"] == component],
        "fixings": [fixings for fixings in layout["fixings"] if fixings["component"] == component],
        "usages": [usage for usage in layout["usages"] if usage["component"] == component],
        **{kind: [piece for piece in layout[kind] if piece["component"] == component] for kind in FLAT_KINDS},
        "brackets": layout["brackets"] if component in (Component.BRACKET, Component.BRACKET_CLIP) else [],
    }
