"""The way in: from a first plan and a bound towards a proven optimum, within limits that count work and not time."""

from dataclasses import dataclass, replace

import numpy as np

from service.engine.cutting.sheet_problem import SheetBound, SheetCertificate
from service.engine.cutting.sheet_solver.bound import PackingBound, area_bound
from service.engine.cutting.sheet_solver.dive import dive
from service.engine.cutting.sheet_solver.exchange import exchange
from service.engine.cutting.sheet_solver.few import best_of_few
from service.engine.cutting.sheet_solver.gather import gather
from service.engine.cutting.sheet_solver.in_line import Line, line_axis
from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.mend import mend
from service.engine.cutting.sheet_solver.program import Cover
from service.engine.cutting.sheet_solver.sets import FittingSets
from service.engine.cutting.sheet_solver.shelves import shelf_plan
from service.engine.cutting.sheet_solver.tidy import trimmed

FEWEST_SETS, FEWEST_PAIRS = 250, 4_000
FEW_SETS, FEW_PAIRS = 8_000, 800_000
MOST_SETS, MOST_PAIRS = 25_000, 3_000_000
"""Sets listed, and pairs of boxes put together for them: a millisecond or two, a few tenths of a second, and about one."""
MOST_COUNTS = 4_000_000
"""Sets times sizes: as many numbers are in the table of what each set holds."""
MOST_SIZES = 300
"""Beyond these neither all sets nor a linear program over strips come to an end in a second: shelves are mended instead."""
MOST_WORK = 200_000
"""Patterns times nodes of the integer program over all sets: a second."""
EXCHANGES = 100_000
"""Rounds times pieces: half a second."""
MANY = 300
"""Patterns from which on a good plan is sought first, so that the integer program has less to prove."""


@dataclass(frozen=True, slots=True)
class Answer:
    """`left`: the pieces that limited stock ran out for. `lower_bound` is for the pieces placed.

    `is_gathered`: what is left over is in one place as far as it can be.
    """

    takes: list[Take]
    left: Counts
    lower_bound: int
    bound: SheetBound
    certificate: SheetCertificate | None
    is_gathered: bool = False


def solve(instance: SheetInstance, worth: int) -> Answer:
    """The cheapest plan and the best bound that can be had; then, where stock does not run out, the plan made neat.

    `worth`: the least saving that is worth a long search.
    """
    answer = _cheapest(instance, worth)
    if any(answer.left):
        return answer
    takes = trimmed(instance, answer.takes)
    return replace(answer, takes=takes if answer.is_gathered else gather(instance, takes))


def _cheapest(instance: SheetInstance, worth: int) -> Answer:
    """Shelves where area alone shows that no plan is cheaper; few pieces, exactly; pieces in one line, as bars; all others."""
    if not any(instance.demand):
        return Answer([], instance.demand, 0, SheetBound.ANY_PACKING, None)
    axis = line_axis(instance)
    stock, lower = [s.quantity for s in instance.sheets], area_bound(instance, instance.demand)
    shelves = None
    if len(instance.sheets) == 1:
        shelves = takes, left = shelf_plan(instance, instance.demand, stock, lower)
        might_take_fewer_patterns = axis is not None and len(takes) > 1
        if not any(left) and instance.cost(takes) <= lower and not might_take_fewer_patterns:
            return Answer(takes, left, lower, SheetBound.ANY_PACKING, None)
    sets = FittingSets(instance)
    few = best_of_few(sets) if sets.list_all(FEWEST_SETS, FEWEST_PAIRS) else None
    if few is not None:
        return _of_few(instance, few, lower, axis is not None)
    if axis is not None:
        line = Line(instance, axis)
        return Answer(line.takes(), line.left(), line.plan.lower_bound, SheetBound.ANY_PACKING, line.certificate())
    return _of_many(instance, worth, sets, *(shelves or shelf_plan(instance, instance.demand, stock, lower)))


def _of_few(instance: SheetInstance, takes: list[Take], lower: int, in_line: bool) -> Answer:
    """A plan that no other is cheaper than. Pieces in one line are cut straight however they are packed."""
    used, nothing = instance.cost(takes), (0,) * len(instance.demand)
    if lower >= used:
        return Answer(takes, nothing, used, SheetBound.ANY_PACKING, None, is_gathered=True)
    certificate = PackingBound(instance, instance.demand).best(used, brief=True)
    holds_for_any = certificate is not None and (in_line or certificate.proves >= used)
    bound = SheetBound.ANY_PACKING if holds_for_any else SheetBound.GUILLOTINE
    return Answer(takes, nothing, used, bound, certificate, is_gathered=True)


def _of_many(instance: SheetInstance, worth: int, sets: FittingSets, takes: list[Take], left: Counts) -> Answer:
    """From a first plan: the bounds of area and packings; exchange, exhaustion, diving and mending."""
    placed = tuple(n - m for n, m in zip(instance.demand, left, strict=True))
    used, lower = instance.cost(takes), area_bound(instance, placed)
    if lower >= used:
        return Answer(takes, left, used, SheetBound.ANY_PACKING, None)
    certificate = PackingBound(instance, placed).best(used)
    if certificate is not None:
        lower = certificate.proves
    if lower >= used or any(left):
        return Answer(takes, left, min(lower, used), SheetBound.ANY_PACKING, certificate)
    bound = SheetBound.ANY_PACKING
    best = Incumbent(instance, takes)
    is_complete = sets.list_all(FEW_SETS, FEW_PAIRS)
    if not is_complete:
        exchange(instance, best, lower, EXCHANGES)
        if best.cost - lower < worth:
            return Answer(best.takes, left, lower, bound, certificate)
        if len(instance.sizes) > MOST_SIZES:
            mend(instance, best, lower)
            return Answer(best.takes, left, lower, bound, certificate)
        is_complete = sets.list_all(min(MOST_SETS, MOST_COUNTS // len(instance.sizes)), MOST_PAIRS)
    listed = sets.listed(only_full=is_complete)
    if not is_complete or len(listed.sheet) > MANY:
        dive(instance, listed, best)
    if is_complete and best.cost > lower:
        choice = Cover(instance, listed.sheet, listed.counts).cheapest(best.cost, MOST_WORK)
        if choice.copies is not None:
            best.offer([listed.take(int(j), int(choice.copies[j])) for j in np.flatnonzero(choice.copies)])
        if choice.lower_bound > lower:
            lower, bound = min(choice.lower_bound, best.cost), SheetBound.GUILLOTINE
    else:
        mend(instance, best, lower)
    return Answer(best.takes, left, lower, bound, certificate)
