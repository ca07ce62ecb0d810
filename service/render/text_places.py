"""What the text of a takeoff calls rooms and walls, and how its lines are broken."""

import textwrap
from collections.abc import Iterable, Mapping
from typing import Any

COLUMNS = 100


class Places:
    """Rooms and walls by id: their labels (`1`, `1/2`, as members are labelled), names, and order in the survey."""

    def __init__(self, rooms: Iterable[Mapping[str, Any]]) -> None:
        self._label: dict[str, str] = {}
        self._name: dict[str, str | None] = {}
        self._order: dict[str, tuple[int, ...]] = {}
        for r, room in enumerate(rooms, 1):
            self._add(room["room_id"], room, (r,))
            for w, wall in enumerate(room["walls"], 1):
                self._add(wall["wall_id"], wall, (r, w))

    def _add(self, id: str, place: Mapping[str, Any], order: tuple[int, ...]) -> None:
        self._label[id], self._name[id], self._order[id] = place["label"], place["name"], order

    def order(self, room_id: str | None, wall_id: str | None) -> tuple[int, ...]:
        """Sort key: the whole job, then rooms, each before its walls."""
        if wall_id is not None:
            return self._order.get(wall_id, (0, 0))
        return (*self._order.get(room_id or "", (0,)), 0)

    def room(self, room_id: str) -> str:
        return self._called("Room", room_id)

    def wall(self, wall_id: str) -> str:
        return self._called("Wall", wall_id)

    def room_label(self, room_id: str) -> str:
        return f"room {self._label.get(room_id, room_id)}"

    def _called(self, what: str, id: str) -> str:
        name = self._name.get(id)
        return f"{what} {self._label.get(id, id)}" + (f", {name}" if name else "")


def heading(title: str) -> list[str]:
    return ["", title.upper(), "=" * len(title)]


def wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, COLUMNS, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False) or [""]


def mm(length: float) -> str:
    """Whole where it is whole: 1300, 112.5."""
    return f"{length:g}" if abs(length) < 1e6 else f"{length:.0f}"
