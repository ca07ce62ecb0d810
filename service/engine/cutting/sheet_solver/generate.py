"""Column generation: a linear program asks for sheets of strips that would pay, until none would or the work limit is reached."""

from collections.abc import Sequence

import numpy as np

from service.engine.cutting.sheet_solver.block import Block
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.master import Column, Floats, Master
from service.engine.cutting.sheet_solver.sets import Listed
from service.engine.cutting.sheet_solver.strips import MOST_CELLS, Strips, counts_of
from service.engine.cutting.solver.prices import price_unit

SCALE = 1 << 20
PAYS = 1e-6
LISTED_A_ROUND = 20


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
    """The linear program over the patterns of a pool; `run` enlarges both, from strips and from sets that have been listed."""

    def __init__(self, instance: SheetInstance, pool: Pool, listed: Listed) -> None:
        self.instance, self.pool, self._listed = instance, pool, listed
        self._open = np.flatnonzero((listed.counts <= np.array(instance.demand)).all(axis=1))
        self._open_counts = listed.counts[self._open].astype(np.float64)
        unit = price_unit(instance.price_list)
        self._prices = [s.price // unit for s in instance.sheets]
        self._master = Master(instance.demand, self._prices, [s.quantity for s in instance.sheets])
        for sheet, counts in pool.blocks:
            self._master.add(sheet, counts)
        self._strips = [strips for across in (True, False) if (strips := Strips(instance, across)).cells <= MOST_CELLS]
        self.value = 0.0
        self.fractions: list[float] = []

    @property
    def columns(self) -> list[Column]:
        return self._master.columns

    def run(self, most_work: int) -> int:
        """Solves the program, asks for better patterns, and again; how many cells of tables that took to fill."""
        work = 0
        while True:
            prices, limits, self.value = self._master.solve()
            self.fractions = self._master.fractions()
            if work > most_work:
                break
            work += sum(strips.cells for strips in self._strips)
            if not self._add(prices, limits):
                break
        return work

    def _add(self, prices: Floats, limits: Floats) -> int:
        """Prices are made whole, so that sums come out the same whatever the order in which a processor adds."""
        dearest = max(self._prices) or 1
        values = np.floor(np.maximum(prices, 0) / dearest * SCALE)
        added = 0
        for strips in self._strips:
            for sheet, block, _ in strips.best(values.astype(np.int64)):
                added += self._add_if_it_pays(sheet, block, prices, limits)
        for row in self._best_listed(values, np.ceil((np.array(self._prices) - limits) / dearest * SCALE)):
            added += self._add_if_it_pays(int(self._listed.sheet[row]), self._listed.block(row), prices, limits)
        return added

    def _best_listed(self, values: Floats, costs: Floats) -> list[int]:
        """The listed patterns that gain most, on sheets that are still to be had."""
        gains = self._open_counts @ values - costs[self._listed.sheet[self._open]]
        paying = np.flatnonzero(gains > 0)
        best = paying[np.argsort(-gains[paying], kind="stable")[:LISTED_A_ROUND]]
        rows: list[int] = self._open[best].tolist()
        return rows

    def _add_if_it_pays(self, sheet: int, block: Block, prices: Floats, limits: Floats) -> bool:
        counts = counts_of(self.instance, block)
        gain = float(prices @ np.array(counts)) - self._prices[sheet] + limits[sheet]
        if gain <= PAYS * (1 + self._prices[sheet]) or (sheet, counts) in self.pool.blocks:
            return False
        self.pool.blocks[sheet, counts] = block
        return self._master.add(sheet, counts)
