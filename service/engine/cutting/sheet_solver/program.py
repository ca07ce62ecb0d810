"""The integer program over a list of patterns: the cheapest sheets that hold at least what is wanted."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import highspy
import numpy as np

from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance
from service.engine.cutting.sheet_solver.prices import price_unit
from service.engine.cutting.solver.highs import quiet

Column = tuple[int, Counts]
"""A kind of sheet and what is cut from one."""


@dataclass(frozen=True, slots=True)
class Choice:
    """`copies` of each column, None when none better was found; no choice of these columns costs less than `lower_bound`."""

    copies: list[int] | None
    lower_bound: int


def cheapest(instance: SheetInstance, columns: Sequence[Column], below: int, most_nodes: int) -> Choice:
    """The cheapest choice that costs less than `below`, as far as the work limit goes."""
    unit = price_unit(instance)
    nothing = Choice(None, below)
    if not columns or not np.any([counts for _, counts in columns], axis=0).all():
        return nothing
    items = len(instance.demand)
    held = np.array([counts for _, counts in columns], dtype=np.float64)
    of_sheet = np.array([[float(sheet == k) for k in instance.limited] for sheet, _ in columns]).reshape(len(columns), -1)
    matrix = np.hstack([held, of_sheet])
    column, row = np.nonzero(matrix)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = matrix.shape
    lp.col_cost_ = np.array([instance.sheets[sheet].price // unit for sheet, _ in columns], dtype=np.float64)
    lp.col_lower_ = np.zeros(len(columns))
    demand = np.array(instance.demand, dtype=np.float64)
    lp.col_upper_ = np.where(held > 0, np.ceil(demand / np.maximum(held, 1)), 0).max(axis=1)
    stock = np.array([instance.sheets[k].quantity for k in instance.limited], dtype=np.float64)
    lp.row_lower_ = np.concatenate([demand, np.full(len(stock), -highspy.kHighsInf)])
    lp.row_upper_ = np.concatenate([np.full(items, highspy.kHighsInf), stock])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.searchsorted(column, np.arange(len(columns) + 1)).astype(np.int32)
    lp.a_matrix_.index_ = row.astype(np.int32)
    lp.a_matrix_.value_ = matrix[column, row]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    highs = quiet(mip_rel_gap=0.0, mip_abs_gap=0.999, mip_max_nodes=most_nodes, objective_bound=below / unit - 0.5)
    highs.passModel(lp)
    highs.run()
    status, info = highs.getModelStatus(), highs.getInfo()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kObjectiveBound):
        return nothing
    copies = (
        None  # a solver counts in floating point, and gives plans above its cutoff too: what is taken from it is counted anew
    )
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        copies = np.rint(np.array(highs.getSolution().col_value)).astype(int).tolist()
        made = [sum(n * counts[i] for n, (_, counts) in zip(copies, columns, strict=True) if n) for i in range(items)]
        cost = sum(n * instance.sheets[sheet].price for n, (sheet, _) in zip(copies, columns, strict=True))
        if cost >= below or any(m < d for m, d in zip(made, instance.demand, strict=True)):
            copies = None
    proven = max(0, ceil(info.mip_dual_bound - 1e-6)) * unit if np.isfinite(info.mip_dual_bound) else 0
    return Choice(copies, min(proven, below))
