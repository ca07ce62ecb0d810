"""Plans by diving: fix what the linear program is sure of, generate patterns for the rest, until it is small enough."""

from dataclasses import replace

import numpy as np

from service.engine.cutting.sheet_solver.generate import Generation, Pool
from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.program import Cover
from service.engine.cutting.sheet_solver.sets import Listed
from service.engine.cutting.sheet_solver.shelves import shelf_plan
from service.engine.cutting.sheet_solver.strips import counts_of

MANY_SIZES = 200
"""From here on several patterns are fixed at a time."""
SURE = 1e-6
NEARLY_ONE = 0.9
MOST_CELLS_FILLED = 1_500_000_000
MOST_STEPS = 200
MOST_PIECES = 100
MOST_WORK = 20_000
"""Patterns times nodes of an integer program over them."""
NEAR = 0.5
"""How far above the linear program such a plan is sought, in prices of the cheapest sheet."""


def dive(instance: SheetInstance, listed: Listed, best: Incumbent) -> None:
    """Offers `best` a plan at every step; stops when the fixed part can hardly lead to a better one."""
    pool = Pool(best.takes)
    fixed: list[Take] = []
    rest = instance
    work, few = 0, MOST_PIECES
    for _ in range(MOST_STEPS):
        generation = Generation(rest, pool, listed)
        work += generation.run(MOST_CELLS_FILLED - work)
        if sum(rest.demand) <= few:
            few = sum(rest.demand) * 2 // 3
            _pick(instance, generation, fixed, best)
        step = _to_fix(generation)
        fixed += step
        rest = _after(instance, fixed)
        if not any(rest.demand):
            best.offer(fixed)
            return
        takes, left = shelf_plan(rest, rest.demand, [s.quantity for s in rest.sheets])
        if not any(left):
            best.offer(fixed + takes)
        pool = generation.pool.within(rest.demand)
        if any(left):
            return
        for t in takes:
            pool.blocks.setdefault((t.sheet, t.counts), t.block)


def _pick(instance: SheetInstance, generation: Generation, fixed: list[Take], best: Incumbent) -> None:
    """The best of the patterns that there are, as far as few nodes tell."""
    rest = generation.instance
    columns = generation.columns
    sheet, counts = np.array([k for k, _ in columns]), np.array([counts for _, counts in columns])
    choice = Cover(rest, sheet, counts).cheapest(best.cost - instance.cost(fixed), MOST_WORK, (NEAR,), to_the_end=False)
    if choice.copies is not None:
        best.offer(fixed + [_take(generation, int(j), int(choice.copies[j])) for j in np.flatnonzero(choice.copies)])


def _take(generation: Generation, column: int, copies: int) -> Take:
    sheet, counts = generation.columns[column]
    block = generation.pool.blocks[sheet, counts]
    return Take(sheet, block, counts_of(generation.instance, block), copies)


def _to_fix(generation: Generation) -> list[Take]:
    """The whole part of the linear program's plan; failing that, what is nearly one; failing that, the pattern used most.

    Of many sizes, no fewer patterns than a tenth of those in use, the ones used most that go together.
    """
    whole = [_take(generation, j, n) for j, x in enumerate(generation.fractions) if (n := int(x + SURE))]
    if whole:
        return whole
    order = sorted(range(len(generation.fractions)), key=lambda j: (-round(float(generation.fractions[j]), 9), j))
    in_use = sum(x > SURE for x in generation.fractions)
    at_least = in_use // 10 if len(generation.instance.sizes) >= MANY_SIZES else 0
    left = list(generation.instance.demand)
    taken: list[Take] = []
    for j in order:
        _, counts = generation.columns[j]
        is_little = generation.fractions[j] < (NEARLY_ONE if len(taken) >= at_least else SURE)
        if taken and (is_little or any(n > m for n, m in zip(counts, left, strict=True))):
            continue
        taken.append(_take(generation, j, 1))
        left = [m - n for n, m in zip(counts, left, strict=True)]
    return taken


def _after(instance: SheetInstance, fixed: list[Take]) -> SheetInstance:
    """What is still wanted, and what stock there still is, once these sheets are cut."""
    made = [sum(t.counts[i] * t.copies for t in fixed) for i in range(len(instance.demand))]
    sheets = tuple(
        s if s.quantity is None else replace(s, quantity=s.quantity - sum(t.copies for t in fixed if t.sheet == k))
        for k, s in enumerate(instance.sheets)
    )
    demand: Counts = tuple(max(0, n - m) for n, m in zip(instance.demand, made, strict=True))
    return replace(instance, demand=demand, sheets=sheets)
