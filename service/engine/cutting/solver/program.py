"""Small integer programs over a list of patterns: the cheapest plan, then the one of least waste, then of fewest patterns."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import highspy
import numpy as np

from service.engine.cutting.solver.bound import Floats
from service.engine.cutting.solver.highs import quiet_integer
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.master import Column
from service.engine.cutting.solver.prices import price_unit

MANY_PATTERNS = 200
"""Fewer are solved as fast without totals."""


class Outcome(Enum):
    BEST = "the plan is the best that the patterns allow"
    NONE = "the patterns allow no plan within the target"
    STOPPED = "the work limit was reached"


@dataclass(frozen=True, slots=True)
class Result:
    outcome: Outcome
    takes: list[Take] | None


@dataclass(slots=True)
class Rows:
    """Rows of a program over columns: `low <= matrix @ x <= high`."""

    matrix: Floats
    low: Floats
    high: Floats

    def and_row(self, coefficients: Floats, at_most: float) -> "Rows":
        return Rows(
            np.vstack([self.matrix, coefficients]), np.append(self.low, -highspy.kHighsInf), np.append(self.high, float(at_most))
        )


def cheapest(instance: Instance, columns: Sequence[Column], target: int, most_nodes: int, by_totals: bool) -> Result:
    """The cheapest plan of these patterns that cuts at least what is wanted, if one costs `target` or less.

    `by_totals`: see `_with_totals`; only where patterns are many.
    """
    if not columns or not np.any([counts > 0 for _, counts in columns], axis=0).all():
        return Result(Outcome.NONE, None)
    unit = price_unit(instance.price_list)
    prices = np.array([instance.bars[b].price // unit for b, _ in columns], dtype=np.float64)
    counts = np.array([counts for _, counts in columns])
    most = np.where(counts > 0, -(-instance.demand // np.maximum(counts, 1)), 0).max(axis=1)
    program = prices, _demand_and_stock(instance, columns, exact=False), most
    if by_totals and len(columns) >= MANY_PATTERNS:
        program = _with_totals(*program)
    outcome, copies = _solve(*program, most_nodes, cutoff=target // unit)
    return Result(outcome, None if copies is None else _takes(columns, copies[-len(columns) :]))


def least_waste(
    instance: Instance, columns: Sequence[Column], waste: Ints, cost: int, start: Sequence[Take], most_nodes: int
) -> list[Take] | None:
    """A plan of these very patterns that costs `cost` and wastes least; `waste[j]` for one bar of the j-th pattern."""
    prices = np.array([instance.bars[b].price for b, _ in columns], dtype=np.float64)
    rows = _demand_and_stock(instance, columns, exact=True).and_row(prices, cost)
    _, copies = _solve(waste.astype(np.float64), rows, _most_exact(instance, columns), most_nodes, start=_start(columns, start))
    return None if copies is None else _takes(columns, copies)


def fewest_patterns(
    instance: Instance, columns: Sequence[Column], limits: Sequence[tuple[Ints, int]], start: Sequence[Take], most_nodes: int
) -> list[Take] | None:
    """A plan of these very patterns that uses fewest different ones; `limits`: (each bar's share, most that they may sum to)."""
    n = len(columns)
    most = _most_exact(instance, columns)
    rows = _demand_and_stock(instance, columns, exact=True)
    for share, total in limits:
        rows = rows.and_row(share.astype(np.float64), total)
    used = np.hstack([np.eye(n), -np.diag(most.astype(np.float64))])
    both = Rows(
        np.vstack([np.hstack([rows.matrix, np.zeros_like(rows.matrix)]), used]),
        np.concatenate([rows.low, np.full(n, -highspy.kHighsInf)]),
        np.concatenate([rows.high, np.zeros(n)]),
    )
    first = _start(columns, start)
    first = None if first is None else np.concatenate([first, first > 0])
    costs = np.concatenate([np.zeros(n), np.ones(n)])
    _, copies = _solve(costs, both, np.concatenate([most, np.minimum(most, 1)]), most_nodes, start=first)
    return None if copies is None else _takes(columns, copies[:n])


def _with_totals(prices: Floats, rows: Rows, most: Ints) -> tuple[Floats, Rows, Ints]:
    """The same program with how many bars there are of each price as unknowns before the others. A total that is not whole is
    split first, and little above the bound few totals are left: fewer nodes, but each is dearer.
    """
    kinds = np.unique(prices[prices > 0])
    bars_of = np.equal(prices, kinds[:, np.newaxis]).astype(np.float64)
    matrix = np.block([[np.zeros((len(rows.matrix), len(kinds))), rows.matrix], [-np.eye(len(kinds)), bars_of]])
    level = np.zeros(len(kinds))
    both = Rows(matrix, np.concatenate([rows.low, level]), np.concatenate([rows.high, level]))
    all_bars = np.full(len(kinds), most.sum())
    return np.concatenate([kinds, np.zeros_like(prices)]), both, np.concatenate([all_bars, most])


def _demand_and_stock(instance: Instance, columns: Sequence[Column], exact: bool) -> Rows:
    counts = np.array([counts for _, counts in columns], dtype=np.float64).T
    of_bar = np.array([[float(bar == b) for bar, _ in columns] for b in instance.limited]).reshape(-1, len(columns))
    demand = instance.demand.astype(np.float64)
    stock = [float(instance.bars[b].quantity or 0) for b in instance.limited]
    low = np.concatenate([demand, np.full(len(stock), -highspy.kHighsInf)])
    high = np.concatenate([demand if exact else np.full(len(demand), highspy.kHighsInf), stock])
    return Rows(np.vstack([counts, of_bar]), low, high)


def _most_exact(instance: Instance, columns: Sequence[Column]) -> Ints:
    """How often each pattern can be used when nothing may be cut too many."""
    counts = np.array([counts for _, counts in columns])
    none_of_it = int(instance.demand.max()) + 1
    most: Ints = np.where(counts > 0, instance.demand // np.maximum(counts, 1), none_of_it).min(axis=1).astype(np.int64)
    return most


def _start(columns: Sequence[Column], takes: Sequence[Take]) -> Floats | None:
    place = {(bar, counts.tobytes()): j for j, (bar, counts) in enumerate(columns)}
    copies = np.zeros(len(columns))
    for t in takes:
        j = place.get((t.bar, t.counts.tobytes()))
        if j is None:
            return None
        copies[j] += t.copies
    return copies


def _takes(columns: Sequence[Column], copies: Ints) -> list[Take]:
    return [Take(bar, counts, int(n)) for (bar, counts), n in zip(columns, copies, strict=True) if n]


def _solve(
    costs: Floats, rows: Rows, most: Ints, most_nodes: int, cutoff: int | None = None, start: Floats | None = None
) -> tuple[Outcome, Ints | None]:
    """Least cost in whole numbers from 0 to `most`; costs are whole too."""
    n = len(costs)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = n, len(rows.low)
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = costs, np.zeros(n), most.astype(np.float64)
    lp.row_lower_, lp.row_upper_ = rows.low, rows.high
    column, row = np.nonzero(rows.matrix.T)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.searchsorted(column, np.arange(n + 1)).astype(np.int32)
    lp.a_matrix_.index_ = row.astype(np.int32)
    lp.a_matrix_.value_ = rows.matrix[row, column]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * n
    highs = quiet_integer(most_nodes)
    if cutoff is not None:
        highs.setOptionValue("objective_bound", cutoff + 0.5)
    highs.passModel(lp)
    if start is not None:
        solution = highspy.HighsSolution()
        solution.col_value = start.tolist()
        highs.setSolution(solution)
    highs.run()
    copies = None
    if highs.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        copies = np.rint(np.array(highs.getSolution().col_value)).astype(np.int64)
    status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kOptimal:
        return Outcome.BEST, copies
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kObjectiveBound):
        return Outcome.NONE, copies
    return Outcome.STOPPED, copies
