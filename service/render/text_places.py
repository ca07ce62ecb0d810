"""What the text of a takeoff calls rooms and walls, and how its lines are broken."""

import textwrap
from collections.abc import Mapping
from typing import Any

COLUMNS = 100


class Places:
    """Rooms and walls by id: their labels (`1`, `1/2`, as members are labelled), names, and order in the survey.

    Labels stand in the takeoff's layouts. Names come from a survey document where one is given, which may be without ids; with
    them it also says which walls are which that have no layout.
    """

    def __init__(self, takeoff: Mapping[str, Any], survey: Mapping[str, Any] | None) -> None:
        self._order: dict[str, tuple[int, ...]] = {}
        self._name: dict[tuple[int, ...], str | None] = {}
        for layout in takeoff.get("layouts", {}).get("layouts", ()):
            room, wall = (int(number) for number in layout["label"].split("/"))
            self._order |= {layout["room_id"]: (room,), layout["wall_id"]: (room, wall)}
        for r, room in enumerate((survey or {}).get("rooms", ()), 1):
            self._add(room, (r,))
            for w, wall in enumerate(room.get("walls", ()), 1):
                self._add(wall, (r, w))

    def _add(self, row: Mapping[str, Any], order: tuple[int, ...]) -> None:
        self._name[order] = row.get("name")
        if "id" in row:
            self._order[str(row["id"])] = order

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

    def wall_label(self, wall_id: str) -> str:
        return f"wall {self._label(wall_id)}"

    def _called(self, what: str, id: str) -> str:
        name = self._name.get(self._order.get(id, ()))
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
