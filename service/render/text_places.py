"""What the text of a takeoff calls rooms and walls, and how its lines are broken."""

import textwrap
from collections.abc import Mapping
from typing import Any

COLUMNS = 100


class Places:
    """Rooms and walls by id: their labels (`1`, `1/2`, as members are labelled), names, and order in the survey.

    Names and walls without a layout are known where a survey document is given; labels of the others stand in the takeoff.
    """

    def __init__(self, takeoff: Mapping[str, Any], survey: Mapping[str, Any] | None) -> None:
        self._order: dict[str, tuple[int, ...]] = {}
        self._name: dict[str, str | None] = {}
        for layout in takeoff.get("layouts", {}).get("layouts", ()):
            room, wall = layout["label"].split("/")
            self._add(layout["room_id"], None, int(room))
            self._add(layout["wall_id"], None, int(room), int(wall))
        for r, room in enumerate((survey or {}).get("rooms", ()), 1):
            self._add(room["id"], room.get("name"), r)
            for w, wall in enumerate(room.get("walls", ()), 1):
                self._add(wall["id"], wall.get("name"), r, w)

    def _add(self, id: str, name: str | None, *order: int) -> None:
        self._order[id], self._name[id] = order, name

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
        return f"room {self._label(room_id)}"

    def _called(self, what: str, id: str) -> str:
        name = self._name.get(id)
        return f"{what} {self._label(id)}" + (f", {name}" if name else "")

    def _label(self, id: str) -> str:
        return "/".join(str(number) for number in self._order[id]) if id in self._order else id


def heading(title: str) -> list[str]:
    return ["", title.upper(), "=" * len(title)]


def wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, COLUMNS, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False) or [""]


def mm(length: float) -> str:
    """Whole where it is whole: 1300, 112.5."""
    return f"{length:g}" if abs(length) < 1e6 else f"{length:.0f}"
