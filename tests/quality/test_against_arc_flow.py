"""Optima against the exact arc-flow program: the published examples, and invented rooms."""

import random
import sys
from pathlib import Path

import pytest
from jobs import KERF_MM, adversarial, realistic, stock
from referees import arc_flow_optimum

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import Stock
from service.vocabulary import CutStatus

sys.path.insert(0, str(Path(__file__).parents[1] / "engine" / "cutting"))

from test_published_examples import EXAMPLES


@pytest.mark.parametrize(("pieces", "bars", "optimum"), EXAMPLES)
def test_the_referee_finds_the_published_optima(pieces: dict[int, int], bars: list[Stock], optimum: int) -> None:
    assert arc_flow_optimum(pieces, bars, 0) == optimum


def test_rooms_cost_what_the_referee_says() -> None:
    agreed = 0
    for seed in range(40):
        rng = random.Random(seed)
        demand = (realistic if seed % 2 else adversarial)(rng, 24, 6)
        bars = stock(rng, 3 if seed % 4 > 1 else 0, by_price=seed % 8 > 3)
        plan = plan_bars(demand, bars, KERF_MM)
        optimum = arc_flow_optimum(demand, bars, KERF_MM)
        if optimum is not None:
            assert plan.lower_bound <= optimum <= plan.used, seed
            assert plan.used == optimum or plan.status is not CutStatus.OPTIMAL, seed
            agreed += 1
    print(f"\n {agreed} of 40 rooms settled by the referee")
    assert agreed >= 30
