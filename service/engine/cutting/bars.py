"""The front of bar cutting: pieces and stock in, a plan with a proven bound out."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from service.engine.cutting.check import check_plan
from service.engine.cutting.problem import BarPlan, Certificate, Pattern, Stock, check_problem
from service.engine.cutting.solver.bound import material_bound
from service.engine.cutting.solver.firstfit import first_fit
from service.engine.cutting.solver.generate import relax
from service.engine.cutting.solver.instance import Instance, Take, canonical
from service.engine.cutting.solver.knapsack import table_cells
from service.engine.cutting.solver.search import MOST_CELLS, Answer, solve
from service.vocabulary import CutStatus


def plan_bars(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int = 0, reusable_mm: int | None = None) -> BarPlan:
    """Cuts `pieces` (length in mm: how many) from `stock` at least cost, and says how good the plan is known to be.

    Among plans of that cost it prefers less waste, then fewer patterns, then one long remainder to several short ones, as far as
    its work limits go. A remainder of `reusable_mm` or more is kept, and is not waste; without it all that is left over is.

    The same problem gives the same plan, in whatever order pieces and stock are named. Pieces that no stock holds, or for which
    limited stock runs out, are in `unplaced`. Every plan is checked before it is given out.

    Raises:
        CutProblemInvalid: lengths not whole mm above 0, prices or numbers below 0; with every fault.
    """
    check_problem(pieces, stock, kerf_mm)
    longest = max((s.length_mm for s in stock if s.quantity != 0), default=0)
    fitting = {length: count for length, count in pieces.items() if count > 0 and length <= longest}
    left = {length: count for length, count in pieces.items() if count > 0 and length > longest}
    instance = canonical(fitting, stock, kerf_mm)
    answer = solve(instance, reusable_mm)
    ran_out = {length: int(n) for length, n in zip(instance.lengths, answer.left, strict=True) if n}
    plan = BarPlan(
        patterns=_patterns(instance, answer.takes),
        used=instance.cost(answer.takes),
        lower_bound=answer.lower_bound,
        status=_status(instance, answer, bool(ran_out)),
        certificate=answer.certificate,
        unplaced=tuple(sorted((left | ran_out).items(), reverse=True)),
    )
    check_plan(pieces, stock, kerf_mm, plan)
    return plan


def bound_bars(pieces: Mapping[int, int], stock: Sequence[Stock]) -> Fraction:
    """A cost that no plan undercuts, from the relaxation alone and not rounded: what `plan_bars` proves before it plans.

    Pieces that no stock holds count for nothing. Raises: as `plan_bars`.
    """
    check_problem(pieces, stock, 0)
    longest = max((s.length_mm for s in stock if s.quantity != 0), default=0)
    instance = canonical({length: n for length, n in pieces.items() if n > 0 and length <= longest}, stock, 0)
    if not instance.demand.any():
        return Fraction(0)
    first, left = first_fit(instance, instance.demand, [b.quantity for b in instance.bars])
    if table_cells(instance) > MOST_CELLS:
        return Fraction(material_bound(instance, instance.demand - left))
    bound = relax(instance, first, None).bound
    return Fraction(0) if bound is None else Fraction(int(bound.worth), bound.scale)


def _status(instance: Instance, answer: Answer, ran_out: bool) -> CutStatus:
    if ran_out:
        return CutStatus.HEURISTIC
    if answer.lower_bound == instance.cost(answer.takes):
        return CutStatus.OPTIMAL
    return CutStatus.HEURISTIC if answer.certificate is None else CutStatus.BOUNDED


def _patterns(instance: Instance, takes: Sequence[Take]) -> tuple[Pattern, ...]:
    """Names lengths and stock as given. Equal bars that were given in several places are taken from the first places first."""
    patterns = []
    there = {place: quantity for bar in instance.bars for place, quantity in bar.places}
    for take in takes:
        counts = tuple((length, int(n)) for length, n in zip(instance.lengths, take.counts, strict=True) if n)
        copies = take.copies
        for place, _ in instance.bars[take.bar].places:
            quantity = there[place]
            n = copies if quantity is None else min(copies, quantity)
            if n == 0:
                continue
            patterns.append(Pattern(place, counts, n))
            if quantity is not None:
                there[place] = quantity - n
            copies -= n
    return tuple(patterns)


__all__ = ["BarPlan", "Certificate", "Pattern", "Stock", "plan_bars"]
