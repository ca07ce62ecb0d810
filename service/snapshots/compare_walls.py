"""Walls of two takeoffs: those added, those removed, and of those that both have what of their survey and material changed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from service.snapshots.differences import Number, SameAs, apart, members_that_differ, number_pair
from service.snapshots.fill import RANK
from service.snapshots.places import Json


class Need(NamedTuple):
    """A net quantity."""

    quantity: Number
    unit: str
    unit_code: str


Needs = Mapping[str, Need]
"""By component."""


@dataclass(frozen=True, slots=True)
class Side:
    """One takeoff: the rooms of its survey as it was used, what each wall needs by its id, what ids are known by elsewhere."""

    rooms: Sequence[Json]
    needs: Mapping[str, Needs]
    same_as: Mapping[str, str]


HANGS_ON_A_WALL = {"openings": "opening_id", "features": "feature_id"}
OF_A_ROOM = ("closed", "floor", "ceiling")
"""Members of a room that its walls' linings depend on."""


def walls_document(before: Side, after: Side) -> Json:
    """`added`, `removed` with all their material, `changed` with what changed.

    A wall counts as changed where its survey or its room's differs, or what it needs: a neighbour or a parameter can do that.
    """
    same_as = (before.same_as, after.same_as)
    sides = apart(_walls(before.rooms), _walls(after.rooms), same_as)
    changed = [
        entry
        for old, new in sides["kept"]
        if (entry := _changed(old, new, before.needs.get(old["id"], {}), after.needs.get(new["id"], {}), same_as)) is not None
    ]
    return {
        "added": [{**_place(wall), "quantities": _quantities({}, after.needs.get(wall["id"], {}))} for wall in sides["added"]],
        "removed": [
            {**_place(wall), "quantities": _quantities(before.needs.get(wall["id"], {}), {})} for wall in sides["removed"]
        ],
        "changed": changed,
    }


def _walls(rooms: Iterable[Json]) -> list[Json]:
    """Every wall with its room's id and, as members of its own, those of the room that its lining depends on."""
    return [
        {**wall, "room_id": room["id"], **{f"room_{name}": room[name] for name in OF_A_ROOM}}
        for room in rooms
        for wall in room["walls"]
    ]


def _place(wall: Json) -> Json:
    return {"room_id": wall["room_id"], "wall_id": wall["id"]}


def _changed(old: Json, new: Json, needed: Needs, needs: Needs, same_as: SameAs) -> Json | None:
    """None where nothing differs."""
    members = members_that_differ(_measured(old), _measured(new))
    hung = {kind: _hung(id_member, old[kind], new[kind], same_as) for kind, id_member in HANGS_ON_A_WALL.items()}
    quantities = _quantities(needed, needs)
    if not members and not quantities and not any(any(of_kind.values()) for of_kind in hung.values()):
        return None
    return {**_place(new), "members": members, **hung, "quantities": quantities}


def _hung(id_member: str, old: Iterable[Json], new: Iterable[Json], same_as: SameAs) -> dict[str, list[Json]]:
    sides = apart(old, new, same_as)
    changed = [(now["id"], members_that_differ(_measured(was), _measured(now))) for was, now in sides["kept"]]
    return {
        "added": [{id_member: thing["id"], "kind": thing["kind"]} for thing in sides["added"]],
        "removed": [{id_member: thing["id"], "kind": thing["kind"]} for thing in sides["removed"]],
        "changed": [{id_member: id, "members": members} for id, members in changed if members],
    }


def _measured(thing: Json) -> Json:
    return {name: value for name, value in thing.items() if name not in ("id", "room_id", *HANGS_ON_A_WALL)}


def _quantities(needed: Needs, needs: Needs) -> list[Json]:
    """Net quantities that differ, component by component."""
    entries = []
    for component in sorted(needed.keys() | needs.keys(), key=lambda component: RANK[component]):
        known = needs.get(component) or needed[component]
        before, after = (side[component].quantity if component in side else 0 for side in (needed, needs))
        if before != after:
            pair = number_pair(before, after)
            entries.append({"component": component, "unit": known.unit, "unit_code": known.unit_code, **pair})
    return entries
