"""Invented rooms and houses: gaps to the proven bound against the targets; times printed beside theirs, for a quiet machine.

A gap is counted in bars: by how much the plan costs more than the bound, over the price of the cheapest bar.
"""

import random
import time

import pytest
from jobs import KERF_MM, adversarial, realistic, rolls, stock
from targets import Target

from service.engine.cutting.bars import plan_bars
from service.vocabulary import CutStatus

ROOM_REALISTIC = Target(half=(0, 10), most=(0, 50), worst=(0, 200))
ROOM_ADVERSARIAL = Target(half=(0, 15), most=(0, 150), worst=(0.15, 1500))
ROOM_ROLLS = Target(half=(0, 5), most=(1, 50), worst=(1, 200))
HOUSE_ROLLS = Target(half=(0, 80), most=(1, 600), worst=(1, 2500))
HOUSE_REALISTIC = Target(half=(0, 30), most=(0.1, 600), worst=(0.15, 2500))
HOUSE_ADVERSARIAL = Target(half=(0.02, 300), most=(0.1, 2000), worst=(0.25, 3000))

CASES = [
    pytest.param(realistic, stock, 40, 8, 0, ROOM_REALISTIC, 100, id="room, realistic"),
    pytest.param(realistic, stock, 40, 8, 6, ROOM_REALISTIC, 100, id="room, realistic, offcuts"),
    pytest.param(adversarial, stock, 40, 8, 0, ROOM_ADVERSARIAL, 60, id="room, adversarial"),
    pytest.param(adversarial, stock, 40, 8, 6, ROOM_ADVERSARIAL, 60, id="room, adversarial, offcuts"),
    pytest.param(realistic, stock, 300, 30, 0, HOUSE_REALISTIC, 30, id="house, realistic"),
    pytest.param(realistic, stock, 300, 30, 20, HOUSE_REALISTIC, 30, id="house, realistic, offcuts"),
    pytest.param(adversarial, stock, 300, 30, 0, HOUSE_ADVERSARIAL, 20, id="house, adversarial"),
    pytest.param(adversarial, stock, 300, 30, 20, HOUSE_ADVERSARIAL, 20, id="house, adversarial, offcuts"),
    pytest.param(realistic, rolls, 40, 8, 0, ROOM_ROLLS, 30, id="room, rolls"),
    pytest.param(realistic, rolls, 300, 30, 0, HOUSE_ROLLS, 20, id="house, rolls"),
]


@pytest.mark.parametrize("by_price", [True, False], ids=["price", "length"])
@pytest.mark.parametrize(("make", "stock_up", "pieces", "lengths", "offcuts", "target", "runs"), CASES)
def test_gaps_stay_within_their_targets(make, stock_up, pieces, lengths, offcuts, target, runs, by_price) -> None:  # type: ignore[no-untyped-def]
    gaps, taken, proved, by_search = [], [], 0, 0
    for seed in range(runs):
        rng = random.Random(f"{make.__name__} {pieces} {offcuts} {seed}")
        demand, bars = make(rng, pieces, lengths), stock_up(rng, offcuts, by_price)
        start = time.process_time()
        plan = plan_bars(demand, bars, KERF_MM)
        taken.append((time.process_time() - start) * 1000)
        gaps.append((plan.used - plan.lower_bound) / bars[0].price)
        proved += plan.status is CutStatus.OPTIMAL
        by_search += plan.certificate is not None and plan.certificate.proves < plan.lower_bound
    print(f"\n proved {proved} of {runs} ({by_search} of them with the help of search)")
    assert target.missed(gaps, taken) == []
