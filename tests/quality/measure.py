"""Prints the measured table of cutting, as Markdown: `PYTHONPATH=. python tests/quality/measure.py [share of the runs, 1]`.

Each class of invented jobs: gap to the proven bound in bars or sheets of the cheapest kind, CPU time, both at half, 95 % and all
of the runs beside their targets; first fit beside ours. Asserts nothing: that is what the tests do.
"""

import random
import statistics
import sys
import time
from collections.abc import Iterator

from jobs import KERF_MM
from referees import first_fit_by_length
from sheet_referees import first_fit_shelves
from test_rooms_and_houses import CASES as BAR_CASES
from test_schemes import SCHEMES, measure_scheme
from test_sheets import CASES as SHEET_CASES

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.sheets import plan_sheets

Row = tuple[str, list[float], list[float], list[float], str]
"""Class, gaps, CPU seconds, by what part first fit costs more, target."""


def measured(share: float) -> Iterator[Row]:
    for case in BAR_CASES:
        make, stock_up, pieces, lengths, offcuts, target, runs = case.values
        gaps, taken, dearer = [], [], []
        for seed in range(max(2, int(runs * share))):
            rng = random.Random(f"{make.__name__} {pieces} {offcuts} {seed}")
            demand, bars = make(rng, pieces, lengths), stock_up(rng, offcuts, True)
            start = time.process_time()
            plan = plan_bars(demand, bars, KERF_MM)
            taken.append(time.process_time() - start)
            gaps.append((plan.used - plan.lower_bound) / bars[0].price)
            dearer.append(first_fit_by_length(demand, bars, KERF_MM) / plan.used - 1)
        yield f"bars: {case.id}", gaps, taken, dearer, _words(target)
    for case in SCHEMES:
        *scheme, most_gap, seconds = case.values
        each = [measure_scheme(*scheme, seed) for seed in range(2)]
        target = f"≤ {most_gap:g} in {seconds:g} s; {max(m.megabytes for m in each):.0f} MB of 600"
        yield f"scheme: {case.id}", [m.gap for m in each], [m.seconds for m in each], [m.first_fit for m in each], target
    for name, make_sheets, sheets, target, runs in SHEET_CASES:
        gaps, taken, dearer = [], [], []
        for seed in range(max(1, int(runs * share))):
            pieces = make_sheets(random.Random(f"{name} {seed}"))
            start = time.process_time()
            flat = plan_sheets(pieces, sheets)
            taken.append(time.process_time() - start)
            gaps.append((flat.used - flat.lower_bound) / sheets[0].price)
            dearer.append(first_fit_shelves(pieces, sheets) / flat.used - 1)
        yield f"sheets: {name}", gaps, taken, dearer, _words(target)


def _words(target: object) -> str:
    return "; ".join(f"≤ {gap:g} in {ms / 1000:g} s" for gap, ms in (target.half, target.most, target.worst))  # type: ignore[attr-defined]


def _quantiles(values: list[float], digits: int) -> str:
    ordered = sorted(values)
    places = [max(0, -(-share * len(ordered) // 100) - 1) for share in (50, 95, 100)]
    return " / ".join(f"{ordered[place]:.{digits}f}" for place in places)


if __name__ == "__main__":
    print("| class | runs | proven | gap: half / 95 % / worst | CPU s: half / 95 % / worst | target | first fit, mean |")
    print("|---|---|---|---|---|---|---|")
    for name, gaps, taken, dearer, target in measured(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0):
        closed = sum(gap <= 0 for gap in gaps)
        print(
            f"| {name} | {len(gaps)} | {closed} | {_quantiles(gaps, 3)} | {_quantiles(taken, 3)} | {target} "
            f"| {statistics.mean(dearer):+.1%} |",
            flush=True,
        )
