"""The one knapsack that prices patterns, proves bounds and guides the listing of patterns. Exact integers throughout.

A length of which q are allowed is split into 1, 2, 4, … and the rest, so that each lump is in or out; at which capacities it is
in, is noted in one row a lump.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.solver.instance import Instance, Ints


@dataclass(frozen=True, slots=True)
class Lump:
    """`count` pieces of the `length`-th length, `width` units in all."""

    length: int
    count: int
    width: int


class Knapsack:
    """Holds the lumps of an instance and the space for its table, which every call to `fill` uses anew."""

    def __init__(self, instance: Instance, most: Ints | None = None) -> None:
        most = instance.most if most is None else most
        self.capacity = instance.capacity
        self.lengths = len(instance.lengths)
        self.lumps: list[Lump] = []
        for i in range(self.lengths):
            left, step = int(most[i]), 1
            while left > 0:
                count = min(step, left)
                self.lumps.append(Lump(i, count, count * int(instance.widths[i])))
                left -= count
                step *= 2
        self._taken = np.zeros((len(self.lumps), self.capacity + 1), dtype=np.bool_)
        self._sum = np.empty(self.capacity + 1, dtype=np.int64)
        self._used: list[Lump] = []
        self._capacities = {bar: instance.bars[bar].capacity for bar in instance.unlimited}
        self._closed: dict[int, list[int]] = {}

    def fill(self, values: Ints, for_closing: bool = False) -> Ints:
        """`best[c]`: the most value that c units hold, at `values[i]` for a piece of the i-th length.

        `for_closing`: `closing` is to be asked afterwards.
        """
        best = np.zeros(self.capacity + 1, dtype=np.int64)
        self._used = []
        self._closed = {bar: [] for bar in self._capacities} if for_closing else {}
        for lump in self.lumps:
            value = int(values[lump.length]) * lump.count
            if value > 0 and lump.width <= self.capacity:
                for bar, closed in self._closed.items():
                    room = self._capacities[bar] - lump.width
                    closed.append(int(best[room]) + value if room >= 0 else 0)
                taken = self._taken[len(self._used)]
                taken[: lump.width] = False
                _add_lump(best, lump.width, value, self._sum, taken[lump.width :])
                self._used.append(lump)
        return best

    def closing(self, bar: int, more_than: int, at_most: int) -> list[Ints]:
        """For the values last given to `fill`: patterns of an unlimited bar, worth `more_than`, the most valuable first; each is
        the best of those with the same last lump."""
        worth = np.array(self._closed[bar], dtype=np.int64)
        patterns = []
        for last in np.argsort(-worth, kind="stable")[:at_most].tolist():
            if worth[last] <= more_than:
                break
            lump = self._used[last]
            counts = self.pattern(self._capacities[bar] - lump.width, last)
            counts[lump.length] += lump.count
            patterns.append(counts)
        return patterns

    def pattern(self, capacity: int, among: int | None = None) -> Ints:
        """A best pattern of `capacity` units for the values last given to `fill`; of the first `among` lumps only."""
        counts = np.zeros(self.lengths, dtype=np.int64)
        among = len(self._used) if among is None else among
        while among > 0:
            takers = np.flatnonzero(self._taken[:among, capacity])
            if not len(takers):
                break
            among = int(takers[-1])
            counts[self._used[among].length] += self._used[among].count
            capacity -= self._used[among].width
        return counts

    def suffixes(self, values: Ints) -> Ints:
        """`table[i, c]`: the most value that c units hold using the i-th and shorter lengths only; the last row is 0."""
        table = np.zeros((self.lengths + 1, self.capacity + 1), dtype=np.int64)
        row = table[self.lengths].copy()
        lumps = iter(reversed(self.lumps))
        lump = next(lumps, None)
        for i in range(self.lengths - 1, -1, -1):
            while lump is not None and lump.length == i:
                value = int(values[i]) * lump.count
                if value > 0 and lump.width <= self.capacity:
                    _add_lump(row, lump.width, value, self._sum)
                lump = next(lumps, None)
            table[i] = row
        return table


def table_cells(instance: Instance) -> int:
    """How large the table of an instance is; so that one that would fill the memory is not begun."""
    return sum(int(n).bit_length() for n in instance.most) * (instance.capacity + 1)


def _add_lump(best: Ints, width: int, value: int, spare: Ints, taken: NDArray[np.bool_] | None = None) -> None:
    """Updates `best` for one more lump that may be taken; notes in `taken` at which capacities beyond its width it is."""
    with_it = spare[: len(best) - width]
    np.add(best[: len(best) - width], value, out=with_it)
    if taken is not None:
        np.greater(with_it, best[width:], out=taken)
    np.maximum(best[width:], with_it, out=best[width:])
