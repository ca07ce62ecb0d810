"""One axis of the sheets: how much worth sizes that lie in one line along it can have, and which worths prove most."""

from collections.abc import Mapping, Sequence
from math import gcd

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_solver.master import Master
from service.engine.cutting.solver.generate import relax
from service.engine.cutting.solver.instance import Bar, Instance

Ints = NDArray[np.int64]
Worths = dict[int, int]
"""The worth of each size."""
FINEST = 1 << 24
"""Worths go up to about this."""
MOST_CELLS = 24_000_000
MOST_CELLS_A_ROUND = 2_000_000
GRAINS = (2, 5, 10, 20)
"""Coarser units by which the sizes of sheets can as a rule be divided."""
MOST_ROUNDS = 300
MANY_SIZES = 100
"""From here on the relaxation of bars is used, which is made for many lengths."""
PRICE = 1 << 16
WANTED = 1_000_000
"""In what units it counts prices, which are about 1, and the sum of the weights."""
PAYS = 1e-9


class Axis:
    """`count[size]`: how many pieces can lie with this size along the axis; `rooms[k]`: how much a sheet of kind k has of it.

    One knapsack in exact integers. A size of which q can lie in a line is split into 1, 2, 4, ... and the rest, each in or out.
    """

    def __init__(self, count: Mapping[int, int], rooms: Sequence[int], grain: int = 1) -> None:
        """`grain`: by how much the unit is coarser than need be; sizes count as a little more than they are."""
        self.sizes = sorted(count, reverse=True)
        self._count = count
        self._whole_rooms = rooms
        self._unit = unit = grain * gcd(*self.sizes) or 1
        self.rooms = [room // unit for room in rooms]
        self._longest = max(self.rooms)
        self._lumps: list[tuple[int, int, int]] = []
        for size in self.sizes:
            width = -(-size // unit)
            left, n = min(count[size], self._longest // width), 1
            while left > 0:
                n = min(n, left)
                self._lumps.append((size, n, n * width))
                left -= n
                n *= 2

    @property
    def is_small(self) -> bool:
        """Whether its table does not fill the memory."""
        return self._cells <= MOST_CELLS

    @property
    def _cells(self) -> int:
        return len(self._lumps) * (self._longest + 1)

    def most_worth(self, worths: Worths) -> list[int]:
        """For each kind of sheet, the most that one line can hold."""
        best = np.zeros(self._longest + 1, dtype=np.int64)
        for size, n, width in self._lumps:
            worth = worths.get(size, 0) * n
            if worth > 0:
                np.maximum(best[width:], best[: len(best) - width] + worth, out=best[width:])
        return [int(best[room]) for room in self.rooms]

    def best_worths(self, weight: Mapping[int, int], prices: Sequence[float], stock: Sequence[float | None]) -> Worths:
        """The worths that make `weight` dearest while a line on a sheet of kind k is worth no more than `prices[k]`.

        They are the prices of a cutting problem: so much as `weight` says is wanted of each size, and there are `stock[k]` lines
        of kind k. Prices are about 1 and worths come out scaled; how much they prove is for the caller to work out: large tables
        are counted in coarser units.
        """
        if self._cells > MOST_CELLS_A_ROUND:
            grain = next((g for g in GRAINS if self._cells <= g * MOST_CELLS_A_ROUND), GRAINS[-1])
            return Axis(self._count, self._whole_rooms, grain)._best_worths(weight, prices, stock)
        return self._best_worths(weight, prices, stock)

    def _best_worths(self, weight: Mapping[int, int], prices: Sequence[float], stock: Sequence[float | None]) -> Worths:
        wanted = [size for size in self.sizes if weight.get(size, 0) > 0]
        if len(wanted) >= MANY_SIZES:
            return self._as_bars(wanted, weight, prices, stock)
        place = {size: i for i, size in enumerate(wanted)}
        whole = float(sum(weight[size] for size in wanted))
        master = Master([weight[size] / whole for size in wanted], prices, [None if n is None else n / whole for n in stock])
        for i, size in enumerate(wanted):
            for k, room in enumerate(self.rooms):
                n = min(self._count[size], room // -(-size // self._unit))
                if n:
                    master.add(k, tuple(n * (i == j) for j in range(len(wanted))))
        values = np.zeros(len(wanted))
        for _ in range(MOST_ROUNDS):
            values, limits, _ = master.solve()
            worths = {size: int(values[i] * FINEST) for size, i in place.items()}
            rows, used = self._fill(worths)
            added = False
            for k, room in enumerate(self.rooms):
                counts_of = self._line(rows, used, room)
                gain = sum(values[place[size]] * n for size, n in counts_of.items()) - prices[k] + limits[k]
                if gain > PAYS:
                    added |= master.add(k, tuple(counts_of.get(size, 0) for size in wanted))
            if not added:
                break
        return {size: int(values[i] * FINEST) for size, i in place.items()}

    def _as_bars(
        self, wanted: list[int], weight: Mapping[int, int], prices: Sequence[float], stock: Sequence[float | None]
    ) -> Worths:
        whole = sum(weight[size] for size in wanted)
        widths = np.array([-(-size // self._unit) for size in wanted], dtype=np.int64)
        count = np.array([self._count[size] for size in wanted], dtype=np.int64)
        bars = (
            Bar(room, room, round(price * PRICE), None if n is None else int(n * WANTED / whole), ())
            for room, price, n in zip(self.rooms, prices, stock, strict=True)
        )
        demand = np.array([max(1, weight[size] * WANTED // whole) for size in wanted], dtype=np.int64)
        most = np.minimum(count, self._longest // widths)
        relaxed = relax(Instance(0, tuple(wanted), widths, demand, most, tuple(bars), ((1, None),)), (), None)
        if relaxed.bound is None:
            return {}
        return dict(zip(wanted, relaxed.bound.values.tolist(), strict=True))

    def _fill(self, worths: Worths) -> tuple[list[Ints], list[tuple[int, int, int]]]:
        """(a row for each lump used: the most worth of so much room, the lumps used)."""
        rows, used = [np.zeros(self._longest + 1, dtype=np.int64)], []
        for size, n, width in self._lumps:
            worth = worths.get(size, 0) * n
            if worth > 0:
                row = rows[-1].copy()
                np.maximum(row[width:], rows[-1][: len(row) - width] + worth, out=row[width:])
                rows.append(row)
                used.append((size, n, width))
        return rows, used

    def _line(self, rows: list[Ints], used: list[tuple[int, int, int]], room: int) -> dict[int, int]:
        counts: dict[int, int] = {}
        for k in range(len(used), 0, -1):
            if rows[k][room] != rows[k - 1][room]:
                size, n, width = used[k - 1]
                counts[size] = counts.get(size, 0) + n
                room -= width
        return counts
