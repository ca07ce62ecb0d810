"""Reads a hand-worked wall from its file and makes the engine's inputs from it.

A case file is TOML: `why`, `source`, `arithmetic` for people; `[survey]` as the API takes it; optional `[specification]`
(parameters that differ) and `[stock]` (lengths by component); and `[[expect]]` tables, which `case_expectations` compares with
the answer.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.engine.inputs import Opening, Room, Wall
from service.engine.parameters import Parameters
from service.vocabulary import Component, Construction, OpeningKind, Substrate

CASES_FOLDER = Path(__file__).parent

DEFAULT_STOCK: dict[Component, tuple[int, ...]] = {
    Component.C_STUD: (2400, 2700, 3000, 3600),
    Component.U_CHANNEL: (3000,),
}

KNOWN_KEYS = {"why", "source", "arithmetic", "survey", "specification", "stock", "expect"}
REQUIRED_KEYS = {"why", "source", "arithmetic", "survey", "expect"}


@dataclass(frozen=True)
class Case:
    """One hand-worked survey with what must come out of it."""

    path: Path
    why: str
    source: str
    arithmetic: str
    rooms: tuple[Room, ...]
    parameters: Parameters
    stock: Mapping[Component, tuple[int, ...]]
    expectations: tuple[dict[str, Any], ...]

    @property
    def name(self) -> str:
        return f"{self.path.parent.name}/{self.path.stem}"


def case_paths() -> Iterator[Path]:
    yield from sorted(CASES_FOLDER.glob("*/*.toml"))


def read_case(path: Path) -> Case:
    """Raises ValueError where the file has a key that nobody reads, or lacks its arithmetic."""
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    if unknown := document.keys() - KNOWN_KEYS:
        raise ValueError(f"{path.name}: unknown keys {sorted(unknown)}")
    if missing := [key for key in sorted(REQUIRED_KEYS) if not document.get(key)]:
        raise ValueError(f"{path.name}: missing {missing}")
    stock = dict(DEFAULT_STOCK)
    stock.update({Component(name): tuple(lengths) for name, lengths in document.get("stock", {}).items()})
    return Case(
        path=path,
        why=document["why"],
        source=document["source"],
        arithmetic=document["arithmetic"],
        rooms=tuple(read_room(room) for room in document["survey"]["rooms"]),
        parameters=Parameters(**document.get("specification", {})),
        stock=stock,
        expectations=tuple(document["expect"]),
    )


def read_room(given: Mapping[str, Any]) -> Room:
    height = given["ceiling_height_mm"]
    return Room(
        walls=tuple(_wall(wall, height) for wall in given["walls"]),
        closed=given.get("closed", False),
        floor=Construction(given.get("floor", "timber")),
        ceiling=Construction(given.get("ceiling", "timber")),
    )


def _wall(given: Mapping[str, Any], ceiling_height_mm: float) -> Wall:
    wall = {"height_left_mm": ceiling_height_mm, "height_right_mm": ceiling_height_mm, **given}
    if "substrate" in wall:
        wall["substrate"] = Substrate(wall["substrate"])
    wall["openings"] = tuple(
        Opening(**{**opening, "kind": OpeningKind(opening["kind"])}) for opening in given.get("openings", ())
    )
    return Wall(**wall)
