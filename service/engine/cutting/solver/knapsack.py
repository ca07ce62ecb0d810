"""The one knapsack that prices patterns, proves bounds and guides the listing of patterns. Exact integers throughout.

A length of which q are allowed is split into 1, 2, 4, … and the rest, so that each lump is in or out; one numpy row a lump.
"""

from dataclasses import dataclass

import numpy as np

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
        self._rows = np.empty((len(self.lumps) + 1, self.capacity + 1), dtype=np.int64)
        self._rows[0] = 0
        self._sum = np.empty(self.capacity + 1, dtype=np.int64)
        self._used: list[Lump] = []

    def fill(self, values: Ints) -> Ints:
        """`best[c]`: the most value that c units hold, at `values[i]` for a piece of the i-th length."""
        rows, used = self._rows, []
        row: Ints = rows[0]
        for lump in self.lumps:
            value = int(values[lump.length]) * lump.count
            if value > 0 and lump.width <= self.capacity:
                used.append(lump)
                row = _with_lump(row, rows[len(used)], lump.width, value, self._sum)
        self._used = used
        return row

    def pattern(self, capacity: int) -> Ints:
        """A best pattern of `capacity` units for the values last given to `fill`."""
        counts = np.zeros(self.lengths, dtype=np.int64)
        column = self._rows[: len(self._used) + 1, capacity].tolist()
        for k in range(len(self._used), 0, -1):
            if column[k] != column[k - 1]:
                lump = self._used[k - 1]
                counts[lump.length] += lump.count
                capacity -= lump.width
                column = self._rows[:k, capacity].tolist()
        return counts

    def suffixes(self, values: Ints) -> Ints:
        """`table[i, c]`: the most value that c units hold using the i-th and shorter lengths only; the last row is 0."""
        table = np.zeros((self.lengths + 1, self.capacity + 1), dtype=np.int64)
        spare = np.empty(self.capacity + 1, dtype=np.int64)
        lumps = iter(reversed(self.lumps))
        lump = next(lumps, None)
        for i in range(self.lengths - 1, -1, -1):
            row = table[i + 1]
            while lump is not None and lump.length == i:
                value = int(values[i]) * lump.count
                if value > 0 and lump.width <= self.capacity:
                    row = _with_lump(row, np.empty_like(row), lump.width, value, spare)
                lump = next(lumps, None)
            table[i] = row
        return table


def table_cells(instance: Instance) -> int:
    """How large the table of an instance is; so that one that would fill the memory is not begun."""
    return sum(int(n).bit_length() for n in instance.most) * (instance.capacity + 1)


def _with_lump(row: Ints, out: Ints, width: int, value: int, spare: Ints) -> Ints:
    """Writes into `out` what `row` becomes when one more lump may be taken, and returns it."""
    out[:width] = row[:width]
    with_it = spare[: len(row) - width]
    np.add(row[: len(row) - width], value, out=with_it)
    np.maximum(row[width:], with_it, out=out[width:])
    return out
