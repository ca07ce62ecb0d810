"""Two changes of one row: what a device wants, what was written meanwhile, and what the device last saw.

A row's fields are merged one by one, but all geometry of a wall or opening is one field: a length by one person and a height by
another do not make a wall that either of them measured.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from service.store.ledger import plain
from service.store.models import Versioned
from service.usecases.members import Values
from service.vocabulary import ResourceKind

GEOMETRY: dict[ResourceKind, frozenset[str]] = {
    ResourceKind.WALL: frozenset(
        {
            "length_mm",
            "height_left_mm",
            "height_right_mm",
            "floor_left_mm",
            "floor_right_mm",
            "corner_deg",
            "proud_mm",
            "frame_offset_mm",
        }
    ),
    ResourceKind.OPENING: frozenset({"offset_mm", "width_mm", "sill_mm", "height_mm", "reveal_depth_mm", "frame_margin_mm"}),
}
"""What counts as one field."""

Past = Mapping[int, Mapping[str, tuple[Any, int]]]
"""Number of a write → for each field that it wrote over: the value before, and the number that had written that."""


@dataclass(frozen=True, slots=True)
class Merged:
    """`taken`: the fields in which the device's wish is carried out. `contested`: those in which it cannot be, sorted."""

    taken: frozenset[str]
    contested: tuple[str, ...]


class _Unknown:
    """A value that is not kept any more: like no other, so that nothing is ever taken to be unchanged by mistake."""

    __hash__ = None  # type: ignore[assignment]

    def __eq__(self, other: object) -> bool:
        return False


def last_seen(row: Versioned, names: Collection[str], base: int, own: Collection[int], past: Past) -> Values:
    """What a device takes these fields to hold: it saw the row at version `base`, and made the writes `own` since then.

    From the present value back, writer by writer, until one is found that the device knows of.
    """
    seen: Values = {}
    for name in names:
        value, number = plain(getattr(row, name)), row.field_versions.get(name, 0)
        while number > base and number not in own:
            value, number = past.get(number, {}).get(name, (_Unknown(), 0))
        seen[name] = value
    return seen


def merge_fields(row: Versioned, wanted: Values, named: Collection[str], seen: Values, *, whole: bool) -> Merged:
    """Decides field by field.

    `wanted`: what the device wants; `named`: the fields that it speaks of; `seen`: what it last saw in all fields. With `whole`
    it sent the row as it has it, and means only what differs from what it saw; otherwise it means every field that it named.
    What it wants and what stands being equal is never a conflict.
    """
    stands = {name: plain(getattr(row, name)) for name in seen}
    taken: set[str] = set()
    contested: set[str] = set()
    for unit in _units(row.resource_kind, seen):
        differs = {name for name in unit if name in named and plain(wanted[name]) != stands[name]}
        meant = {name for name in differs if not whole or plain(wanted[name]) != seen[name]}
        if not meant:
            continue
        if all(stands[name] == seen[name] for name in unit):
            taken |= differs
        else:
            contested |= meant | {name for name in unit if stands[name] != seen[name]}
    return Merged(frozenset(taken), tuple(sorted(contested)))


def _units(kind: ResourceKind, names: Collection[str]) -> list[frozenset[str]]:
    """The fields, those that count as one together."""
    together = GEOMETRY.get(kind, frozenset()) & frozenset(names)
    return [*([together] if together else []), *(frozenset({name}) for name in names if name not in together)]
