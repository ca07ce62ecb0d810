"""How long cutting takes, and how that grows with pieces and with different lengths. Measured and printed, hardly asserted.

Run alone, on a quiet machine: `pytest -n 0 -s tests/speed/test_cutting_growth.py`. CPU time of this process. The ratios to the
line before are what to look at: seconds differ from machine to machine.
"""

import random
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "quality"))

from jobs import KERF_MM, realistic, stock

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.check import check_plan


def _measure(pieces: int, lengths: int, seeds: int) -> tuple[float, float, float]:
    """(milliseconds to plan, of those to check, gap in bars): medians, the gap the worst."""
    planning, checking, gaps = [], [], []
    for seed in range(seeds):
        rng = random.Random(seed)
        demand, bars = realistic(rng, pieces, lengths), stock(rng, 0, by_price=True)
        start = time.process_time()
        plan = plan_bars(demand, bars, KERF_MM)
        planned = time.process_time()
        check_plan(demand, bars, KERF_MM, plan)
        checking.append((time.process_time() - planned) * 1000)
        planning.append((planned - start) * 1000)
        gaps.append((plan.used - plan.lower_bound) / bars[0].price)
    return statistics.median(planning), statistics.median(checking), max(gaps)


def _table(cases: list[tuple[int, int, int]]) -> None:
    print("\n  pieces  lengths   plan ms  ratio   check ms   worst gap, bars")
    before: float | None = None
    for pieces, lengths, seeds in cases:
        planning, checking, gap = _measure(pieces, lengths, seeds)
        ratio = "" if before is None else f"{planning / before:.1f}"
        print(f"{pieces:8d} {lengths:8d} {planning:9.1f} {ratio:>6} {checking:10.2f} {gap:17.3f}")
        before = planning
        assert gap < 1


def test_growth_with_pieces() -> None:
    """Ten times the pieces of the same lengths should cost hardly more."""
    _table([(40, 8, 5), (400, 8, 5), (4_000, 8, 5), (40_000, 8, 3), (400_000, 8, 3)])


def test_growth_with_different_lengths() -> None:
    """Twice the lengths cost more than twice the time: there are more patterns, and tables with more rows."""
    _table([(480, 8, 5), (900, 15, 5), (1_800, 30, 3), (3_600, 60, 3), (7_200, 120, 1)])
