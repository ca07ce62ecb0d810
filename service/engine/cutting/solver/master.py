"""The linear program over the patterns found so far. Kept warm in the solver between rounds; one thread, nothing random."""

import highspy
import numpy as np

from service.engine.cutting.solver.bound import Floats
from service.engine.cutting.solver.highs import quiet
from service.engine.cutting.solver.instance import Instance, Ints

MISSING = -1
"""Stands for the bar of a pattern that is no pattern: pieces that limited stock may have run out for."""

Column = tuple[int, Ints]

MANY_LENGTHS = 100
"""From here on a longer piece may stand in for the next shorter one."""


class Master:
    """Cover the demand at least cost, patterns in any fraction, no more of a limited bar than there is."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.columns: list[Column] = []
        self._known: set[tuple[int, bytes]] = set()
        self._fresh: list[Column] = []
        self.missing_price = 10 * (1 + max((b.price for b in instance.bars), default=0))
        self._row_of_bar = {b: len(instance.lengths) + k for k, b in enumerate(instance.limited)}
        self._highs = quiet(presolve="off", simplex_strategy=4)
        demand = [float(d) for d in instance.demand]
        stock = [float(instance.bars[b].quantity or 0) for b in instance.limited]
        nothing = np.array([], dtype=np.int32)
        rows = len(demand) + len(stock)
        lower = np.array(demand + [-highspy.kHighsInf] * len(stock))
        upper = np.array([highspy.kHighsInf] * len(demand) + stock)
        self._highs.addRows(rows, lower, upper, 0, np.zeros(rows, dtype=np.int32), nothing, np.array([], dtype=np.float64))
        self._stand_ins = len(demand) - 1 if self.lets_stand_in else 0
        if self._stand_ins:
            self._add_stand_ins(self._stand_ins)

    @property
    def lets_stand_in(self) -> bool:
        return len(self.instance.lengths) >= MANY_LENGTHS

    def add(self, bar: int, counts: Ints) -> bool:
        """Takes in a pattern; False when it is known."""
        key = (bar, counts.tobytes())
        if key in self._known:
            return False
        self._known.add(key)
        self.columns.append((bar, counts))
        self._fresh.append((bar, counts))
        return True

    def solve(self) -> tuple[Floats, Floats]:
        """(price of each length, worth of one more of each limited bar, 0 or less)."""
        self._pass_on()
        self._highs.run()
        duals = np.array(self._highs.getSolution().row_dual)
        lengths = len(self.instance.lengths)
        return np.maximum(duals[:lengths], 0.0), np.minimum(duals[lengths:], 0.0)

    def cost(self) -> float:
        """Of the last solution."""
        return float(self._highs.getInfo().objective_function_value)

    def fractions(self) -> Floats:
        """How often each pattern is used in the last solution."""
        solved = np.array(self._highs.getSolution().col_value)[self._stand_ins :]
        return np.concatenate([solved, np.zeros(len(self.columns) - len(solved))])

    def price(self, bar: int) -> int:
        return self.missing_price if bar == MISSING else self.instance.bars[bar].price

    def _add_stand_ins(self, n: int) -> None:
        """One column for each length but the last: a piece less of it, one more of the next."""
        rows = np.stack([np.arange(n), np.arange(n) + 1], axis=1).ravel().astype(np.int32)
        none, most = np.zeros(n), np.full(n, highspy.kHighsInf)
        self._highs.addCols(n, none, none, most, 2 * n, np.arange(0, 2 * n, 2, dtype=np.int32), rows, np.tile([-1.0, 1.0], n))

    def _pass_on(self) -> None:
        if not self._fresh:
            return
        starts, indices, values = [0], [], []
        for bar, counts in self._fresh:
            cut = np.flatnonzero(counts)
            indices += cut.tolist()
            values += counts[cut].tolist()
            if bar in self._row_of_bar:
                indices.append(self._row_of_bar[bar])
                values.append(1)
            starts.append(len(indices))
        n = len(self._fresh)
        self._highs.addCols(
            n,
            np.array([self.price(bar) for bar, _ in self._fresh], dtype=np.float64),
            np.zeros(n),
            np.full(n, highspy.kHighsInf),
            len(indices),
            np.array(starts[:-1], dtype=np.int32),
            np.array(indices, dtype=np.int32),
            np.array(values, dtype=np.float64),
        )
        self._fresh = []
