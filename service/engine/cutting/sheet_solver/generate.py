"""Column generation: a linear program asks for sheets of strips that would pay, until none would or the work limit is reached."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_solver.block import Block
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.prices import price_unit
from service.engine.cutting.sheet_solver.program import Column
from service.engine.cutting.sheet_solver.strips import MOST_CELLS, Strips, counts_of
from service.engine.cutting.solver.instance import Bar, Instance
from service.engine.cutting.solver.master import Master

SCALE = 1 << 20
PAYS = 1e-6

Floats = NDArray[np.float64]


class Pool:
    """The patterns found so far: for each what may be counted on, and a block that holds at least that."""

    def __init__(self, takes: Sequence[Take]) -> None:
        self.blocks: dict[Column, Block] = {(t.sheet, t.counts): t.block for t in takes}

    def within(self, demand: Counts) -> "Pool":
        """The same patterns for a smaller demand: more than is wanted does not count."""
        pool = Pool(())
        for (sheet, counts), block in self.blocks.items():
            clipped = tuple(map(min, counts, demand))
            if any(clipped):
                pool.blocks.setdefault((sheet, clipped), block)
        return pool


class Generation:
    """The linear program over the sheets of a pool that fit a demand; `run` enlarges both."""

    def __init__(self, instance: SheetInstance, pool: Pool) -> None:
        self.instance, self.pool = instance, pool
        unit = price_unit(instance)
        self._prices = [s.price // unit for s in instance.sheets]
        self._master = Master(_cover(instance, self._prices))
        for column in list(pool.blocks):
            self._master.add(column[0], np.array(column[1], dtype=np.int64))
        self._strips = [strips for across in (True, False) if (strips := Strips(instance, across)).cells <= MOST_CELLS]
        self.value = 0.0
        self.fractions: Floats = np.zeros(0)

    @property
    def is_possible(self) -> bool:
        return bool(self._strips)

    @property
    def columns(self) -> list[Column]:
        return [(sheet, tuple(counts.tolist())) for sheet, counts in self._master.columns]

    def run(self, most_work: int) -> int:
        """Solves the program, asks for better patterns, and again; how many cells of tables that took to fill."""
        work = 0
        while True:
            prices, limits, self.value = self._master.solve()
            self.fractions = self._master.fractions()
            if work > most_work:
                break
            work += sum(strips.cells for strips in self._strips)
            if not self._add(prices, dict(zip(self.instance.limited, limits.tolist(), strict=True))):
                break
        return work

    def _add(self, prices: Floats, limits: dict[int, float]) -> int:
        dearest = max(self._prices) or 1
        values = np.floor(np.maximum(prices, 0) / dearest * SCALE).astype(np.int64)
        added = 0
        for strips in self._strips:
            for sheet, block, _ in strips.best(values):
                added += self._add_if_it_pays(sheet, block, prices, limits)
        return added

    def _add_if_it_pays(self, sheet: int, block: Block, prices: Floats, limits: dict[int, float]) -> bool:
        counts = counts_of(self.instance, block)
        gain = float(prices @ np.array(counts)) - self._prices[sheet] + limits.get(sheet, 0.0)
        if gain <= PAYS * (1 + self._prices[sheet]) or (sheet, counts) in self.pool.blocks:
            return False
        self.pool.blocks[sheet, counts] = block
        return self._master.add(sheet, np.array(counts, dtype=np.int64))


def _cover(instance: SheetInstance, prices: Sequence[int]) -> Instance:
    """What the linear program must know: what is wanted, and what each kind of sheet costs."""
    demand = np.array(instance.demand, dtype=np.int64)
    bars = tuple(Bar(0, 0, price, s.quantity, ()) for price, s in zip(prices, instance.sheets, strict=True))
    return Instance(0, tuple(range(len(demand))), np.ones_like(demand), demand, demand, bars, ())
