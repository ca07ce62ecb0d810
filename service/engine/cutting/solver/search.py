"""The way in: from a first plan and a bound towards a proven optimum, within limits that count work and not time."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.engine.cutting.problem import Certificate
from service.engine.cutting.solver.bound import material_bound
from service.engine.cutting.solver.dive import dive, rounded
from service.engine.cutting.solver.firstfit import first_fit
from service.engine.cutting.solver.gap import FEW_PATTERNS, MANY_PATTERNS, SOME_PATTERNS, Gap
from service.engine.cutting.solver.generate import Relaxation, relax
from service.engine.cutting.solver.goals import settle
from service.engine.cutting.solver.incumbent import Incumbent
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.knapsack import table_cells
from service.engine.cutting.solver.residual import Residual
from service.engine.cutting.solver.tidy import in_order

MOST_CELLS = 24_000_000


@dataclass(frozen=True, slots=True)
class Answer:
    """`left`: the pieces that limited stock ran out for."""

    takes: list[Take]
    left: Ints
    lower_bound: int
    certificate: Certificate | None


def solve(instance: Instance, reusable_mm: int | None) -> Answer:
    """First fit and the relaxation, then one way of improving after the other until the gap is closed or all were tried."""
    nothing = np.zeros_like(instance.demand)
    if not instance.demand.any():
        return Answer([], nothing, 0, None)
    first, left = first_fit(instance, instance.demand, [b.quantity for b in instance.bars])
    best = Incumbent(instance)
    best.offer(first)
    if table_cells(instance) > MOST_CELLS:
        takes = best.takes if best.takes is not None else first
        return Answer(takes, left, min(material_bound(instance, instance.demand - left), instance.cost(takes)), None)
    relaxed = relax(instance, first, best.cost if best.takes is not None else None)
    best.offer(rounded(instance, relaxed))
    gap = Gap(instance, relaxed, best)
    if best.takes is None:
        gap.pick_found_patterns()
    if best.takes is None:
        placed = Residual(instance, instance.demand - left, [b.quantity for b in instance.bars])
        answer = solve(placed.instance, reusable_mm)
        return Answer(
            placed.outward(answer.takes), left + placed.outward_counts(answer.left), answer.lower_bound, answer.certificate
        )
    gap.close(FEW_PATTERNS)
    if not gap.is_closed:
        gap.learn_rest()
    if not gap.is_closed:
        gap.pick_patterns()
        gap.close(SOME_PATTERNS)
    if not gap.is_closed and not gap.is_small:
        dive(instance, relaxed, best, _finish)
        gap.close(MANY_PATTERNS)
    takes = in_order(settle(instance, gap, best.takes, reusable_mm))
    return Answer(takes, nothing, min(gap.proven, best.cost), gap.certificate)


def _finish(instance: Instance, relaxed: Relaxation, best: Incumbent) -> None:
    gap = Gap(instance, relaxed, best)
    gap.close(SOME_PATTERNS)
    gap.learn_rest()


__all__: Sequence[str] = ("Answer", "solve")
