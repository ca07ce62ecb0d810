"""A constraint solver to compare with: each piece is given a bar. Needs the extra `quality`."""

from itertools import pairwise

from ortools.sat.python import cp_model

from service.engine.cutting.problem import Stock

MOST_WORK = 1.0
"""The solver's own measure of work, near a second."""


def cp_sat_cost(pieces: dict[int, int], bars: list[Stock], kerf_mm: int, most_bars: int) -> tuple[int | None, int]:
    """(cost of its plan, its bound): so many bars, each of some kind or not used, kinds in falling order."""
    model = cp_model.CpModel()
    kinds = [[model.new_bool_var("") for _ in bars] for _ in range(most_bars)]
    counts = [{n: model.new_int_var(0, want, "") for n, want in pieces.items()} for _ in range(most_bars)]
    for kind, count in zip(kinds, counts, strict=True):
        model.add_at_most_one(kind)
        held = sum((length + kerf_mm) * n for length, n in count.items())
        model.add(held <= sum((s.length_mm + kerf_mm) * k for s, k in zip(bars, kind, strict=True)))
    for length, want in pieces.items():
        model.add(sum(count[length] for count in counts) == want)
    for k, s in enumerate(bars):
        if s.quantity is not None:
            model.add(sum(kind[k] for kind in kinds) <= s.quantity)
    size = [sum((k + 1) * x for k, x in enumerate(kind)) for kind in kinds]
    for one, other in pairwise(size):
        model.add(one >= other)
    model.minimize(sum(s.price * x for kind in kinds for s, x in zip(bars, kind, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = MOST_WORK
    found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (round(solver.objective_value) if found else None), round(solver.best_objective_bound)
