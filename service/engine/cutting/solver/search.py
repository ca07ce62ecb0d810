"""The way in: from a first plan and a bound towards a proven optimum, within limits that count work and not time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from service.engine.cutting.problem import Certificate
from service.engine.cutting.solver.bound import Bound, next_sum, price_unit
from service.engine.cutting.solver.firstfit import first_fit
from service.engine.cutting.solver.generate import Relaxation, relax
from service.engine.cutting.solver.incumbent import Incumbent
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.listing import Lister
from service.engine.cutting.solver.master import MISSING
from service.engine.cutting.solver.program import Outcome, cheapest

MOST_PATTERNS = 2000
MOST_NODES = 20
MOST_TARGETS = 6
SURE = 1e-7


@dataclass(frozen=True, slots=True)
class Answer:
    """`left`: the pieces that limited stock ran out for."""

    takes: list[Take]
    left: Ints
    lower_bound: int
    certificate: Certificate | None


def solve(instance: Instance) -> Answer:
    nothing = np.zeros_like(instance.demand)
    if not instance.demand.any():
        return Answer([], nothing, 0, None)
    first, left = first_fit(instance, instance.demand, [b.quantity for b in instance.bars])
    best = Incumbent(instance)
    best.offer(first)
    relaxed = relax(instance, first)
    best.offer(rounded(instance, relaxed))
    if best.takes is None:
        best.offer(cheapest(instance, _real(relaxed), relaxed.master.missing_price, MOST_NODES).takes or [])
    if best.takes is None:
        answer = solve(replace(instance, demand=instance.demand - left, most=np.minimum(instance.most, instance.demand - left)))
        return replace(answer, left=left)
    assert relaxed.bound is not None
    certificate = relaxed.bound.certificate(instance)
    lower_bound = close_gap(instance, relaxed, relaxed.bound, best, certificate.proves)
    return Answer(best.takes, nothing, min(lower_bound, best.cost), certificate)


def _real(relaxed: Relaxation) -> list[tuple[int, Ints]]:
    return [(bar, counts) for bar, counts in relaxed.master.columns if bar != MISSING]


def rounded(instance: Instance, relaxed: Relaxation) -> list[Take]:
    """The whole part of the relaxation, and the rest by first fit."""
    takes: list[Take] = []
    left = instance.demand.copy()
    stock: list[int | None] = [b.quantity for b in instance.bars]
    for (bar, counts), x in zip(relaxed.master.columns, relaxed.fractions, strict=True):
        copies = int(x + SURE)
        if copies and bar != MISSING:
            takes.append(Take(bar, counts, copies))
            left -= counts * copies
            there = stock[bar]
            stock[bar] = None if there is None else there - copies
    rest, _ = first_fit(instance, np.maximum(left, 0), stock)
    return takes + rest


def close_gap(instance: Instance, relaxed: Relaxation, bound: Bound, best: Incumbent, proven: int) -> int:
    """Asks for a plan at the bound, then a little above it, and so on: each answer is an optimum or a higher bound."""
    if best.cost <= proven:
        return proven
    unit = price_unit(instance)
    lister = Lister(instance, relaxed.knapsack, bound)
    cheapest_bar = min(b.price for b in instance.bars if b.quantity is None or not instance.unlimited)
    step = 0 if unit >= cheapest_bar else max(unit, cheapest_bar // 50)
    for _ in range(MOST_TARGETS):
        if best.cost <= proven:
            return proven
        target = min(best.cost - unit, proven + step)
        columns = lister.within(target, MOST_PATTERNS, only_full=True)
        if columns is None:
            if step <= unit:
                break
            step = max(unit, step // 4)
            continue
        result = cheapest(instance, columns, target, MOST_NODES)
        if result.takes:
            best.offer(result.takes)
        if best.cost <= target and result.outcome is Outcome.BEST:
            return best.cost
        if result.outcome is Outcome.STOPPED:
            break
        proven = next_sum(instance, target + unit)
        step = max(unit, 2 * step)
    if best.cost > proven:
        best.offer(cheapest(instance, _real(relaxed), best.cost - unit, MOST_NODES).takes or [])
    return proven


__all__: Sequence[str] = ("Answer", "solve")
