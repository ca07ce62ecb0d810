"""How long cutting takes, and how that grows with pieces and with different lengths. Measured and printed, hardly asserted.

Run alone, on a quiet machine: `pytest -n 0 -s tests/speed/test_cutting_growth.py`. CPU time of this process. The ratios to the
line before are what to look at: seconds differ from machine to machine.
"""

import random
import resource
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "quality"))

sys.path.insert(0, str(Path(__file__).parents[1] / "engine"))

from jobs import KERF_MM, realistic, stock
from rooms.inputs import takeoff_input
from rooms.surveys import Case, random_room

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.check import check_plan
from service.engine.inputs import Options
from service.engine.lining import line_walls
from service.engine.parameters import Parameters
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.flat_cut_lists import cut_flat
from service.engine.quantities.stock import materials
from service.vocabulary import Pool

MOST_SECONDS = 60
"""Beyond this something is wrong, however slow the machine."""


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
    _table([(480, 8, 5), (900, 15, 5), (1_800, 30, 3), (3_600, 60, 3), (7_200, 120, 1), (48_000, 800, 1)])


def test_a_hundred_rooms_cut_as_one_project() -> None:
    """Rooms thrown at random hardly share a length: hundreds of sizes in each pool, and no plan may take minutes."""
    print("\n rooms   bars s  sheets s   most memory, MB")
    for count in (10, 30, 100):
        given = takeoff_input(Case(rooms=tuple(random_room(random.Random(n)) for n in range(count)), parameters=Parameters()))
        given = replace(given, options=Options(pool=Pool.PROJECT))
        layouts = line_walls(given.rooms, given.parameters, given.components, materials(given.items)).layouts
        start = time.process_time()
        cut_bars(layouts, given.items, given.options, given.parameters.reusable_offcut_mm)
        bars = time.process_time()
        cut_flat(layouts, given.items, given.options, given.parameters.reusable_offcut_mm)
        sheets = time.process_time()
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{count:6d} {bars - start:8.1f} {sheets - bars:9.1f} {memory:18.0f}")
        assert sheets - start < MOST_SECONDS
