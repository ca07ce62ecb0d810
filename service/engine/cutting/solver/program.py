"""Small integer programs over a list of patterns."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import highspy
import numpy as np

from service.engine.cutting.solver.bound import price_unit
from service.engine.cutting.solver.highs import quiet
from service.engine.cutting.solver.instance import Instance, Take
from service.engine.cutting.solver.master import Column


class Outcome(Enum):
    BEST = "the plan is the best that the patterns allow"
    NONE = "the patterns allow no plan within the target"
    STOPPED = "the work limit was reached"


@dataclass(frozen=True, slots=True)
class Result:
    outcome: Outcome
    takes: list[Take] | None


def cheapest(instance: Instance, columns: Sequence[Column], target: int, most_nodes: int) -> Result:
    """The cheapest plan of these patterns that cuts at least what is wanted, if one costs `target` or less."""
    demand = instance.demand
    if not columns or not np.any([counts > 0 for _, counts in columns], axis=0).all():
        return Result(Outcome.NONE, None)
    unit = price_unit(instance)
    matrix = np.array([counts for _, counts in columns])
    row_of_bar = {b: len(demand) + k for k, b in enumerate(instance.limited)}
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns), len(demand) + len(row_of_bar)
    lp.col_cost_ = np.array([instance.bars[b].price // unit for b, _ in columns], dtype=np.float64)
    lp.col_lower_ = np.zeros(len(columns))
    lp.col_upper_ = np.where(matrix > 0, -(-demand // np.maximum(matrix, 1)), 0).max(axis=1).astype(np.float64)
    stock = [float(instance.bars[b].quantity or 0) for b in instance.limited]
    lp.row_lower_ = np.concatenate([demand.astype(np.float64), np.full(len(stock), -highspy.kHighsInf)])
    lp.row_upper_ = np.concatenate([np.full(len(demand), highspy.kHighsInf), stock])
    starts, indices, values = [0], [], []
    for b, counts in columns:
        cut = np.flatnonzero(counts)
        indices += cut.tolist()
        values += counts[cut].tolist()
        if b in row_of_bar:
            indices.append(row_of_bar[b])
            values.append(1)
        starts.append(len(indices))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.array(indices, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(values, dtype=np.float64)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    return _solve(lp, columns, target // unit, most_nodes)


def _solve(lp: highspy.HighsLp, columns: Sequence[Column], target: int, most_nodes: int) -> Result:
    """The patterns are few and already chosen, so presolve and searches in parts of the program cost more than they bring."""
    highs = quiet(
        mip_rel_gap=0.0,
        mip_abs_gap=0.999,
        mip_max_nodes=most_nodes,
        objective_bound=target + 0.5,
        mip_detect_symmetry=False,
        presolve="off",
        mip_heuristic_run_root_reduced_cost=False,
        mip_heuristic_run_rins=False,
        mip_heuristic_run_rens=False,
    )
    highs.passModel(lp)
    highs.run()
    status = highs.getModelStatus()
    takes = None
    if highs.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        copies = np.rint(np.array(highs.getSolution().col_value)).astype(np.int64)
        takes = [Take(bar, counts, int(n)) for (bar, counts), n in zip(columns, copies, strict=True) if n]
    if status == highspy.HighsModelStatus.kOptimal:
        return Result(Outcome.BEST, takes)
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kObjectiveBound):
        return Result(Outcome.NONE, takes)
    return Result(Outcome.STOPPED, takes)
