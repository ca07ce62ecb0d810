"""Rooms against a constraint solver: each piece is given a bar. Needs the extra `quality`."""

import random
from itertools import pairwise

from jobs import KERF_MM, adversarial, realistic, stock
from ortools.sat.python import cp_model

from service.engine.cutting.bars import plan_bars
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


def test_rooms_cost_no_more_than_the_constraint_solver_finds_and_no_less_than_it_proves() -> None:
    ours = theirs = found = 0
    for seed in range(8):
        rng = random.Random(f"constraints {seed}")
        demand = (realistic if seed % 2 else adversarial)(rng, 40, 8)
        bars = stock(rng, 3 if seed % 4 > 1 else 0, by_price=True)
        plan = plan_bars(demand, bars, KERF_MM)
        cost, bound = cp_sat_cost(demand, bars, KERF_MM, sum(p.copies for p in plan.patterns) + 3)
        assert bound <= plan.used, seed
        if cost is not None:
            assert plan.lower_bound <= cost and plan.used <= cost, seed
            found, ours, theirs = found + 1, ours + plan.used, theirs + cost
    print(f"\n plans in {found} of 8 rooms, {theirs / ours - 1:+.2%} dearer than ours")
    assert found >= 4
