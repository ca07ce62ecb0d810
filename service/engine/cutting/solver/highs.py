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
