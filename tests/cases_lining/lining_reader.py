"""Reads a hand-worked wall of boards: the same files as those of the frame, with the sheets that pieces are cut from.

`[sheets]` gives width and length in mm by component, as `plasterboard = [1200, 2400]`.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cases.case_reader import DEFAULT_STOCK, KNOWN_KEYS, REQUIRED_KEYS, read_room

from service.engine.inputs import Room, Sheet
from service.engine.parameters import Parameters
from service.vocabulary import Component

LINING_FOLDER = Path(__file__).parent
STOCK = DEFAULT_STOCK
USUAL_SHEETS = {Component.PLASTERBOARD: (1200, 3000), Component.INSULATED_LAMINATE: (1200, 2400)}


@dataclass(frozen=True)
class LiningCase:
    """One hand-worked survey with what must be boarded."""

    path: Path
    why: str
    arithmetic: str
    rooms: tuple[Room, ...]
    parameters: Parameters
    board_sheet: Sheet
    laminate_sheet: Sheet
    expectations: tuple[dict[str, Any], ...]

    @property
    def name(self) -> str:
        return f"{self.path.parent.name}/{self.path.stem}"


def lining_paths() -> Iterator[Path]:
    yield from sorted(LINING_FOLDER.glob("*/*.toml"))


def read_lining_case(path: Path) -> LiningCase:
    """Raises ValueError where the file has a key that nobody reads, or lacks its arithmetic."""
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    if unknown := document.keys() - (KNOWN_KEYS - {"stock"}) - {"sheets"}:
        raise ValueError(f"{path.name}: unknown keys {sorted(unknown)}")
    if missing := [key for key in sorted(REQUIRED_KEYS) if not document.get(key)]:
        raise ValueError(f"{path.name}: missing {missing}")
    sheets = USUAL_SHEETS | {Component(name): tuple(size) for name, size in document.get("sheets", {}).items()}
    return LiningCase(
        path=path,
        why=document["why"],
        arithmetic=document["arithmetic"],
        rooms=tuple(read_room(room) for room in document["survey"]["rooms"]),
        parameters=Parameters(**document.get("specification", {})),
        board_sheet=Sheet(*sheets[Component.PLASTERBOARD]),
        laminate_sheet=Sheet(*sheets[Component.INSULATED_LAMINATE]),
        expectations=tuple(document["expect"]),
    )
