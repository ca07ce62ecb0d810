"""Plans by diving: fix what the relaxation is sure of, relax the rest anew, and so on down to a rest small enough to solve."""

from collections.abc import Callable

import numpy as np

from service.engine.cutting.solver.firstfit import first_fit
from service.engine.cutting.solver.generate import Relaxation, relax
from service.engine.cutting.solver.incumbent import Incumbent
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.master import MISSING
from service.engine.cutting.solver.residual import Residual
from service.engine.cutting.solver.stand_in import cut_down

SURE = 1e-7
NEARLY_ONE = 0.9
SMALL_PIECES = 80
MOST_STEPS = 200

Finish = Callable[[Instance, Relaxation, Incumbent], object]
"""Improves the plan of a small instance as far as it can."""


def dive(instance: Instance, relaxed: Relaxation, best: Incumbent, finish: Finish) -> None:
    """Offers `best` a plan at every step; stops when the fixed part can no longer lead to a better one."""
    fixed: list[Take] = []
    rest = Residual(instance, instance.demand, [b.quantity for b in instance.bars])
    for _ in range(MOST_STEPS):
        step = _to_fix(relaxed, rest.instance.demand)
        fixed += rest.outward(step)
        used = rest.outward(_used_part(relaxed))
        rest = Residual(instance, *after(instance, fixed))
        if not rest.instance.demand.any():
            best.offer(fixed)
            return
        first, left = first_fit(rest.instance, rest.instance.demand, [b.quantity for b in rest.instance.bars])
        if left.any():
            return
        own = Incumbent(rest.instance)
        own.offer(first)
        relaxed = relax(rest.instance, first + rest.inward(used), own.cost)
        own.offer(rounded(rest.instance, relaxed))
        spent = instance.cost(fixed)
        if relaxed.bound is None or spent + -(-relaxed.bound.worth // relaxed.bound.scale) >= best.cost:
            return
        small = int(rest.instance.demand.sum()) <= SMALL_PIECES
        if small:
            finish(rest.instance, relaxed, own)
        best.offer(fixed + rest.outward(own.takes or []))
        if small:
            return


def rounded(instance: Instance, relaxed: Relaxation) -> list[Take]:
    """The whole part of the relaxation, and the rest by first fit."""
    takes = whole_part(relaxed)
    left, stock = after(instance, takes)
    rest, _ = first_fit(instance, left, stock)
    return takes + rest


def after(instance: Instance, takes: list[Take]) -> tuple[Ints, list[int | None]]:
    """What is still wanted, and what stock there still is, once these bars are cut."""
    left = instance.demand.copy()
    stock: list[int | None] = [b.quantity for b in instance.bars]
    for t in takes:
        left -= t.counts * t.copies
        there = stock[t.bar]
        stock[t.bar] = None if there is None else there - t.copies
    return np.maximum(left, 0), stock


def whole_part(relaxed: Relaxation) -> list[Take]:
    """What the relaxation takes in whole bars."""
    copies = np.floor(relaxed.fractions + SURE).astype(np.int64)
    takes = [Take(b, c, int(n)) for (b, c), n in zip(relaxed.master.columns, copies, strict=True) if n and b != MISSING]
    return cut_down(relaxed.master.instance, takes) if relaxed.master.lets_stand_in else takes


def _used_part(relaxed: Relaxation) -> list[Take]:
    """The patterns in use, so that the next relaxation need not find them again."""
    pairs = zip(relaxed.master.columns, relaxed.fractions, strict=True)
    return [Take(bar, counts, 1) for (bar, counts), x in pairs if x > SURE and bar != MISSING]


def _to_fix(relaxed: Relaxation, demand: Ints) -> list[Take]:
    """The whole part; failing that, the patterns used most that go together: those used nearly once, and one in ten at least.

    The earlier found goes first among equals.
    """
    whole = whole_part(relaxed)
    if whole:
        return whole
    in_use = [j for j in np.flatnonzero(relaxed.fractions > SURE) if relaxed.master.columns[j][0] != MISSING]
    in_use.sort(key=lambda j: (-round(float(relaxed.fractions[j]), 9), j))
    taken: list[Take] = []
    left = demand.copy()
    for j in in_use:
        bar, counts = relaxed.master.columns[j]
        if taken and relaxed.fractions[j] < NEARLY_ONE and len(taken) > len(in_use) // 10:
            break
        if not taken or (counts <= left).all():
            taken.append(Take(bar, counts, 1))
            left = left - counts
    return taken
