"""Prints the measured tables of cutting, as Markdown: `PYTHONPATH=. python tests/quality/measure.py [share of the runs, 1]`.

First, each class of invented jobs: gap to the proven bound in bars or sheets of the cheapest kind, CPU time, both at half, 95 %
and all of the runs beside their targets; first fit beside ours. Then rooms of bars, by other methods. Asserts nothing: that is
what the tests do. Needs the extra `quality`.
"""

import random
import statistics
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from typing import Any

from constraint_referee import cp_sat_cost
from jobs import KERF_MM
from referees import arc_flow_optimum, first_fit_by_length
from sheet_referees import first_fit_shelves
from targets import Target, quantile
from test_rooms_and_houses import CASES as BAR_CASES
from test_schemes import SCHEMES, measure_scheme
from test_sheets import CASES as SHEET_CASES

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.sheets import plan_sheets

Row = tuple[str, list[float], list[float], list[float], str]
"""Class, gaps, CPU seconds, by what part first fit costs more, target."""

ROOMS, MOST_SECONDS = 20, 10
"""Of each class, for the other methods; how long the arc-flow program may take."""


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


def beside(share: float) -> Iterator[tuple[str, ...]]:
    """Rooms of bars by each method: how many proven, with a plan, by what part dearer than ours, CPU seconds at half."""
    for case in BAR_CASES[:4]:
        make, stock_up, pieces, lengths, offcuts, _, _ = case.values
        settled, dearer, taken = Counter[str](), defaultdict[str, list[float]](list), defaultdict[str, list[float]](list)
        runs = max(2, int(ROOMS * share))
        for seed in range(runs):
            rng = random.Random(f"{make.__name__} {pieces} {offcuts} {seed}")
            demand, bars = make(rng, pieces, lengths), stock_up(rng, offcuts, True)
            plan, spent = _timed(plan_bars, demand, bars, KERF_MM)
            first, first_spent = _timed(first_fit_by_length, demand, bars, KERF_MM)
            (found, bound), found_spent = _timed(cp_sat_cost, demand, bars, KERF_MM, sum(p.copies for p in plan.patterns) + 3)
            optimum, optimum_spent = _timed(arc_flow_optimum, demand, bars, KERF_MM, MOST_SECONDS)
            costs = {"ours": plan.used, "first fit": first, "constraints": found, "arc flow": optimum}
            settled.update(
                {"ours": plan.used == plan.lower_bound, "constraints": found == bound, "arc flow": optimum is not None}
            )
            for name, cost in costs.items():
                dearer[name] += [] if cost is None else [cost / plan.used - 1]
            for name, seconds in zip(costs, (spent, first_spent, found_spent, optimum_spent), strict=True):
                taken[name].append(seconds)
        for name, parts in dearer.items():
            mean = f"{statistics.mean(parts):+.2%}" if parts else "-"
            yield case.id, name, str(runs), str(settled[name]), str(len(parts)), mean, f"{statistics.median(taken[name]):.3f}"


def _timed(ask: Callable[..., Any], *given: object) -> tuple[Any, float]:
    start = time.process_time()
    return ask(*given), time.process_time() - start


def _words(target: Target) -> str:
    return "; ".join(f"≤ {gap:g} in {ms / 1000:g} s" for gap, ms in (target.half, target.most, target.worst))


def _quantiles(values: list[float], digits: int) -> str:
    return " / ".join(f"{quantile(values, percent):.{digits}f}" for percent in (50, 95, 100))


if __name__ == "__main__":
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    print("| class | runs | proven | gap: half / 95 % / worst | CPU s: half / 95 % / worst | target | first fit, mean |")
    print("|---|---|---|---|---|---|---|")
    for name, gaps, taken, dearer, target in measured(share):
        closed = sum(gap <= 0 for gap in gaps)
        print(
            f"| {name} | {len(gaps)} | {closed} | {_quantiles(gaps, 3)} | {_quantiles(taken, 3)} | {target} "
            f"| {statistics.mean(dearer):+.1%} |",
            flush=True,
        )
    print(
        "\n| bars | method | runs | proven | with a plan | dearer than ours, mean | CPU s, half |\n|---|---|---|---|---|---|---|"
    )
    for row in beside(share):
        print(f"| {' | '.join(row)} |", flush=True)
