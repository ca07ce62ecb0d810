"""Working shown: every number with its formula, its inputs and its clause, to be followed on paper.

A formula is plain arithmetic in the symbols of its inputs: `+ − · / ( ) ² exp ln max min`. Nothing in it is implied, so that a
reader (or a test) can put the inputs in and must get the value.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal


@dataclass(frozen=True, slots=True)
class Quantity:
    symbol: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Step:
    """`symbol` = `formula` = `value` `unit`; `about` says in words what it is, `clause` which rule asks for it."""

    about: str
    symbol: str
    formula: str
    inputs: tuple[Quantity, ...]
    value: float
    unit: str
    clause: str

    def line(self) -> str:
        """One line for a page: formula, numbers put in, result, clause. Numbers are shown to five figures."""
        given = ", ".join(f"{q.symbol} = {q.value:.5g} {q.unit}".rstrip() for q in self.inputs)
        result = f"{self.symbol} = {self.formula} = {self.value:.5g} {self.unit}".rstrip()
        return f"{self.about}: {result}" + (f" with {given}" if given else "") + f" ({self.clause})"


Given = Mapping[str, tuple[float, str]]


class Sheet:
    """A sheet of working, filled in order."""

    def __init__(self) -> None:
        self._steps: list[Step] = []

    def write(self, about: str, symbol: str, formula: str, given: Given, value: float, unit: str, clause: str) -> None:
        """`given` maps each symbol of the formula to its value and unit."""
        inputs = tuple(Quantity(name, number, its_unit) for name, (number, its_unit) in given.items())
        self._steps.append(Step(about, symbol, formula, inputs, value, unit, clause))

    def steps(self) -> tuple[Step, ...]:
        return tuple(self._steps)


def shown(value: float, places: int = 2) -> str:
    """Rounded half up for the eye, as a text with that many decimal places; what is rounded is the float's shortest decimal."""
    return str(Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))


def whole_up(value: float) -> int:
    """Up to the next whole number; one that is whole but for float noise of a billionth stays."""
    return int((Decimal(repr(value)) - Decimal("1e-9")).quantize(Decimal(1), ROUND_CEILING))
