"""The source of every choice in a random room: hypothesis (which shrinks) or a seeded generator (which is fast).

Builders order their options from plain to odd, so that a shrunk counterexample is the plainest room that still shows the fault.
"""

import random
from collections.abc import Callable, Sequence
from typing import Any, Protocol, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")


class Dice(Protocol):
    def whole(self, least: int, most: int) -> int: ...


class SeededDice:
    def __init__(self, rng: random.Random) -> None:
        self._rng = rng

    def whole(self, least: int, most: int) -> int:
        return self._rng.randint(least, most)


class DrawnDice:
    def __init__(self, draw: Callable[[st.SearchStrategy[Any]], Any]) -> None:
        self._draw = draw

    def whole(self, least: int, most: int) -> int:
        return int(self._draw(st.integers(least, most)))


def chance(dice: Dice, percent: int) -> bool:
    """True in `percent` of 100 throws; False is the plain outcome."""
    return dice.whole(0, 99) >= 100 - percent


def one_of(dice: Dice, options: Sequence[T]) -> T:
    return options[dice.whole(0, len(options) - 1)]


def weighted(dice: Dice, options: Sequence[tuple[int, T]]) -> T:
    throw = dice.whole(0, sum(weight for weight, _ in options) - 1)
    for weight, option in options:
        if throw < weight:
            return option
        throw -= weight
    raise AssertionError("weights add up to the throw's range")
