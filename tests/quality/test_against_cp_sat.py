"""Rooms against a constraint solver. Needs the extra `quality`."""

import random

from constraint_referee import cp_sat_cost
from jobs import KERF_MM, adversarial, realistic, stock

from service.engine.cutting.bars import plan_bars


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
