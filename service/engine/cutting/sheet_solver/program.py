"""Programs over a list of patterns: the cheapest sheets that hold at least what is wanted, in fractions and in whole sheets."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_solver.instance import SheetInstance
from service.engine.cutting.solver.highs import quiet, quiet_integer
from service.engine.cutting.solver.prices import price_unit

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
WIDER = (0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8)
"""Slack allowed above the linear program at first and then, in prices of the cheapest sheet."""
LAST_SHARE = 4
"""A part of the work that is spent on a better plan, whatever it costs, once no more can be proven."""
FEW = 100
"""Patterns among which no more than one low target is tried."""


@dataclass(frozen=True, slots=True)
class Choice:
    """`copies` of each pattern, None when none below the price asked for was found; no choice costs less than `lower_bound`."""

    copies: Ints | None
    lower_bound: int


class Cover:
    """Patterns to choose from: `sheet[j]` the kind of sheet, `counts[j]` how many of each size (patterns by sizes)."""

    def __init__(self, instance: SheetInstance, sheet: Ints, counts: Ints) -> None:
        self.instance, self.sheet, self.counts = instance, sheet, counts
        self.unit = price_unit(instance.price_list)
        self._prices = np.array([s.price // self.unit for s in instance.sheets], dtype=np.float64)[sheet]
        self._demand = np.array(instance.demand, dtype=np.float64)

    def cheapest(self, below: int, most_work: int, wider: Sequence[float] = WIDER, to_the_end: bool = True) -> Choice:
        """The cheapest choice below a price, as far as the work limit goes; not `to_the_end`: only as far as `wider` goes.

        `most_work`: patterns times nodes of the integer programs. A plan of price T uses no pattern whose reduced cost is more
        than T less the linear program's value. So a low target is tried first, with the few patterns that it allows; where they
        make no plan, the bound rises to the next.
        """
        top = below // self.unit - 1
        if not len(self.sheet) or not self.counts[:, self._demand > 0].any(axis=0).all():
            return Choice(None, below)
        value, reduced = self._relaxed()
        if value is None:
            return Choice(None, 0)
        proven = ceil(value - 1e-6)
        least = min((float(price) for price in self._prices if price > 0), default=1.0)
        few = wider[:1] if len(self.sheet) <= FEW else wider
        targets = {min(top, proven + int(slack * least)) for slack in few} | ({top} if to_the_end else set())
        work = 0
        for target in sorted(targets):
            if target < proven:
                continue
            near = np.flatnonzero(reduced <= target - value + 1e-6)
            copies, shown, nodes = self._whole(near, target, (most_work - work) // max(1, len(near)))
            work += nodes * len(near)
            proven = max(proven, shown)
            if copies is not None:
                return Choice(copies, min(below, proven * self.unit))
            if shown <= target:
                if to_the_end and target < top:
                    near = np.flatnonzero(reduced <= top - value + 1e-6)
                    copies, _, _ = self._whole(near, top, most_work // LAST_SHARE // len(near))
                return Choice(copies, min(below, proven * self.unit))
        return Choice(None, min(below, proven * self.unit))

    def _relaxed(self) -> tuple[float | None, Floats]:
        highs = quiet()
        highs.passModel(self._program(np.arange(len(self.sheet)), whole=False))
        highs.run()
        if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None, np.zeros(0)
        return highs.getInfo().objective_function_value, np.array(highs.getSolution().col_dual)

    def _whole(self, near: Ints, target: int, most_nodes: int) -> tuple[Ints | None, int, int]:
        """(copies of all patterns, what is proven, nodes searched) for these patterns and a target price."""
        if not len(near):
            return None, target + 1, 0
        highs = quiet_integer(max(1, most_nodes), objective_bound=target + 0.5)
        highs.passModel(self._program(near, whole=True))
        highs.run()
        status, info = highs.getModelStatus(), highs.getInfo()
        nodes = max(1, int(info.mip_node_count))
        if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kObjectiveBound):
            return None, target + 1, nodes
        shown = ceil(info.mip_dual_bound - 1e-6) if np.isfinite(info.mip_dual_bound) else 0
        copies = np.zeros(len(self.sheet), dtype=np.int64)
        if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
            copies[near] = np.rint(np.array(highs.getSolution().col_value)).astype(np.int64)
        # A solver counts in floating point, and may give a plan above its cutoff.
        if self._prices @ copies > target or (copies @ self.counts < self._demand).any():
            return None, min(shown, target + 1), nodes
        return copies, min(shown, int(self._prices @ copies)), nodes

    def _program(self, near: Ints, whole: bool) -> Any:
        limited = self.instance.limited
        counts, prices = self.counts[near].astype(np.float64), self._prices[near]
        of_sheet = (self.sheet[near, np.newaxis] == np.array(limited, dtype=np.int64)).astype(np.float64)
        matrix = np.hstack([counts, of_sheet])
        column, row = np.nonzero(matrix)
        stock = np.array([self.instance.sheets[k].quantity for k in limited], dtype=np.float64)
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = matrix.shape
        lp.col_cost_, lp.col_lower_ = prices, np.zeros(len(near))
        lp.col_upper_ = np.where(counts > 0, np.ceil(self._demand / np.maximum(counts, 1)), 0).max(axis=1)
        lp.row_lower_ = np.concatenate([self._demand, np.full(len(stock), -highspy.kHighsInf)])
        lp.row_upper_ = np.concatenate([np.full(len(self._demand), highspy.kHighsInf), stock])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.searchsorted(column, np.arange(len(near) + 1)).astype(np.int32)
        lp.a_matrix_.index_ = row.astype(np.int32)
        lp.a_matrix_.value_ = matrix[column, row]
        if whole:
            lp.integrality_ = [highspy.HighsVarType.kInteger] * len(near)
        return lp
