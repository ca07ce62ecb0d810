"""A few invented flat jobs of each class, as a first sign; tests/quality measures more of them against the same targets."""

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "quality"))

from sheet_jobs import BOARDS, INSULATION, LAMINATE, MEMBRANE, adversarial, bays, drops, realistic, reveals
from sheet_referees import first_fit_shelves

from service.engine.cutting.sheet_problem import SheetStock
from service.engine.cutting.sheets import plan_sheets

FEW = [
    pytest.param(lambda rng: realistic(rng, 15, 5), BOARDS, 0.0, id="room, boards, realistic"),
    pytest.param(lambda rng: adversarial(rng, 40, 14), BOARDS, 1.0, id="room, boards, adversarial"),
    pytest.param(lambda rng: realistic(rng, 120, 20), BOARDS, 1.0, id="house, boards, realistic"),
    pytest.param(lambda rng: reveals(rng, 20), LAMINATE, 1.0, id="house, reveals"),
    pytest.param(lambda rng: bays(rng, 60), INSULATION, 1.0, id="house, insulation"),
    pytest.param(lambda rng: drops(rng, 25), MEMBRANE, 1.0, id="house, membrane"),
]


@pytest.mark.parametrize(("make", "stock", "most_gap"), FEW)
def test_gaps_stay_within_their_targets(make, stock: tuple[SheetStock, ...], most_gap: float) -> None:  # type: ignore[no-untyped-def]
    for seed in range(2):
        pieces = make(random.Random(f"few {seed}"))
        plan = plan_sheets(pieces, stock)
        assert plan.unplaced == ()
        assert (plan.used - plan.lower_bound) / stock[0].price <= most_gap, seed
        assert plan.used <= first_fit_shelves(pieces, stock), "first fit on shelves is a plan of straight cuts, too"
