"""The linear program over the patterns found so far. Kept warm in the solver between rounds; one thread, nothing random."""

from collections.abc import Sequence

import highspy
import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.solver.highs import quiet

Floats = NDArray[np.float64]
Column = tuple[int, tuple[int, ...]]
"""A kind of sheet, and how many of each size are counted on from one."""


class Master:
    """Cover `demand` at least price, patterns in any fraction, no more of a kind of sheet than `stock` says (None: no limit)."""

    def __init__(self, demand: Sequence[float], prices: Sequence[float], stock: Sequence[float | None]) -> None:
        self.columns: list[Column] = []
        self._known: set[Column] = set()
        self._passed_on = 0
        self._prices = prices
        self._sizes = len(demand)
        limited = [k for k, n in enumerate(stock) if n is not None]
        self._row_of_sheet = {k: len(demand) + row for row, k in enumerate(limited)}
        self._highs = quiet(presolve="off", simplex_strategy=4)
        lower = np.array([*demand, *(-highspy.kHighsInf for _ in limited)], dtype=np.float64)
        upper = np.array([*(highspy.kHighsInf for _ in demand), *(n for n in stock if n is not None)], dtype=np.float64)
        nothing = np.array([], dtype=np.int32)
        self._highs.addRows(
            len(lower), lower, upper, 0, np.zeros(len(lower), dtype=np.int32), nothing, np.array([], dtype=np.float64)
        )

    def add(self, sheet: int, counts: tuple[int, ...]) -> bool:
        """Takes in a pattern; False when it is known."""
        if (sheet, counts) in self._known:
            return False
        self._known.add((sheet, counts))
        self.columns.append((sheet, counts))
        return True

    def solve(self) -> tuple[Floats, Floats, float]:
        """(price of each size, worth of one more of each kind of sheet (0 or less), cost)."""
        self._pass_on()
        self._highs.run()
        duals = np.array(self._highs.getSolution().row_dual)
        limits = np.zeros(len(self._prices))
        for k, row in self._row_of_sheet.items():
            limits[k] = min(0.0, duals[row])
        return np.maximum(duals[: self._sizes], 0.0), limits, self._highs.getInfo().objective_function_value

    def fractions(self) -> list[float]:
        """How often each pattern is used in the last solution."""
        solved = self._highs.getSolution().col_value
        return [*solved, *(0.0 for _ in range(len(self.columns) - len(solved)))]

    def _pass_on(self) -> None:
        fresh = self.columns[self._passed_on :]
        if not fresh:
            return
        starts, indices, values = [0], [], []
        for sheet, counts in fresh:
            cut = [i for i, n in enumerate(counts) if n]
            indices += cut
            values += [counts[i] for i in cut]
            if sheet in self._row_of_sheet:
                indices.append(self._row_of_sheet[sheet])
                values.append(1)
            starts.append(len(indices))
        self._highs.addCols(
            len(fresh),
            np.array([self._prices[sheet] for sheet, _ in fresh], dtype=np.float64),
            np.zeros(len(fresh)),
            np.full(len(fresh), highspy.kHighsInf),
            len(indices),
            np.array(starts[:-1], dtype=np.int32),
            np.array(indices, dtype=np.int32),
            np.array(values, dtype=np.float64),
        )
        self._passed_on = len(self.columns)
