"""Adds up lengths of tape and bead wall by wall, in words that come to exactly the quantity."""

from dataclasses import dataclass, field

from service.engine.results import Usage
from service.engine.units import tenth
from service.vocabulary import Component, UnitCode


@dataclass(frozen=True, slots=True)
class Metres:
    """Lengths of one kind of seal and the pieces that they serve, by wall."""

    component: Component
    where: str
    rules: tuple[str, ...]
    by_wall: dict[int, tuple[list[float], list[str]]] = field(default_factory=dict)

    def add(self, wall: int, length_mm: float, members: list[str]) -> None:
        """`length_mm` is kept to 0.1; nothing is no length."""
        length = tenth(length_mm)
        if length > 0:
            lengths, served = self.by_wall.setdefault(wall, ([], []))
            lengths.append(length)
            served += members

    def usages(self, room: int) -> list[Usage]:
        """One a wall, in metres."""
        return [
            Usage(
                component=self.component,
                where=self.where,
                room=room,
                wall=wall,
                quantity=round(sum(lengths) / 1000, 4),
                unit=UnitCode.METRE,
                terms=_terms(lengths),
                members=tuple(dict.fromkeys(served)),
                rules=self.rules,
            )
            for wall, (lengths, served) in self.by_wall.items()
        ]


def _terms(lengths: list[float]) -> str:
    """`2 × 2450 + 2300.5 mm`: equal lengths are told once."""
    counts: dict[float, int] = {}
    for length in lengths:
        counts[length] = counts.get(length, 0) + 1
    return " + ".join(f"{n} × {_shown(length)}" if n > 1 else _shown(length) for length, n in counts.items()) + " mm"


def _shown(length: float) -> str:
    return f"{length:.1f}".removesuffix(".0")
