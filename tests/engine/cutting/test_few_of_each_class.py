"""A few invented jobs of each class, as a first sign; tests/quality measures more of them against the same targets."""

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "quality"))

from jobs import KERF_MM, adversarial, realistic, stock

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.check import check_plan
from service.engine.cutting.problem import BarPlan, Stock

FEW = [
    pytest.param(realistic, 40, 8, 0, 0.0, id="room, realistic"),
    pytest.param(realistic, 40, 8, 6, 0.0, id="room, realistic, offcuts"),
    pytest.param(adversarial, 40, 8, 6, 0.15, id="room, adversarial, offcuts"),
    pytest.param(realistic, 300, 30, 20, 0.15, id="house, realistic, offcuts"),
    pytest.param(adversarial, 300, 30, 0, 0.25, id="house, adversarial"),
    pytest.param(realistic, 5000, 200, 40, 0.2, id="scheme, realistic, offcuts"),
]


@pytest.mark.parametrize(("make", "pieces", "lengths", "offcuts", "most_gap"), FEW)
def test_gaps_stay_within_their_targets(make, pieces, lengths, offcuts, most_gap) -> None:  # type: ignore[no-untyped-def]
    for seed in range(2):
        rng = random.Random(f"{make.__name__} {pieces} {offcuts} {seed}")
        demand, bars = make(rng, pieces, lengths), stock(rng, offcuts, True)
        plan = plan_bars(demand, bars, KERF_MM)
        assert plan.unplaced == ()
        assert (plan.used - plan.lower_bound) / bars[0].price <= most_gap, seed


def test_many_lengths_are_planned_alike_in_any_order_and_the_plan_stands() -> None:
    """From a hundred lengths on, longer pieces stand in for shorter ones on the way: what is cut in the end is what was asked."""
    demand, bars = _many_lengths()
    plan = plan_bars(demand, bars, KERF_MM)
    check_plan(demand, bars, KERF_MM, plan)
    names = list(demand.items())
    random.Random(1).shuffle(names)
    assert plan_bars(dict(names), bars, KERF_MM) == plan


@pytest.mark.parametrize("seed", ["1", "2"])
def test_another_process_with_other_hashes_plans_many_lengths_alike(seed: str) -> None:
    here = Path(__file__)
    code = f"import sys; sys.path.insert(0, {str(here.parent)!r}); from {here.stem} import in_full; print(in_full())"
    run = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.strip() == in_full()


def test_a_million_pieces_of_many_lengths_are_planned() -> None:
    """Growth is with the lengths: each of 60 lengths is wanted more than 16,000 times."""
    rng = random.Random("a million")
    demand = dict.fromkeys(rng.sample(range(400, 2600), 60), 16800)
    bars = stock(rng, 0, True)
    plan = plan_bars(demand, bars, KERF_MM)
    assert sum(demand.values()) > 1_000_000
    assert (plan.used - plan.lower_bound) / bars[0].price <= 1


def in_full() -> str:
    demand, bars = _many_lengths()
    plan: BarPlan = plan_bars(demand, bars, KERF_MM)
    return str(plan)


def _many_lengths() -> tuple[dict[int, int], list[Stock]]:
    rng = random.Random("many lengths")
    return realistic(rng, 400, 130), stock(rng, 10, True)
