"""Linear and integer programs go through here: one thread, nothing random, no clock, nothing printed."""

from typing import Any

import highspy


def quiet(**options: bool | int | float | str) -> Any:
    """A solver that gives the same answer on every run.

    It is the class under `highspy.Highs`, whose own constructor prints a line to standard output before it can be told not to.
    """
    solver = highspy._Highs()  # type: ignore[attr-defined]
    for name, value in {"output_flag": False, "threads": 1, "parallel": "off", "random_seed": 0, **options}.items():
        solver.setOptionValue(name, value)
    return solver


def quiet_integer(most_nodes: int, **options: bool | int | float | str) -> Any:
    """The same for integer programs over patterns, prices in whole numbers, within so many nodes.

    The patterns are few and already chosen, so presolve and searches in parts of the program cost more than they bring.
    """
    return quiet(
        mip_rel_gap=0.0,
        mip_abs_gap=0.999,
        mip_max_nodes=most_nodes,
        mip_pscost_minreliable=4,
        mip_detect_symmetry=False,
        presolve="off",
        mip_heuristic_run_feasibility_jump=False,
        mip_heuristic_run_root_reduced_cost=False,
        mip_heuristic_run_rins=False,
        mip_heuristic_run_rens=False,
        **options,
    )
