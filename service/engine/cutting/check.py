"""Refuses a wrong cutting plan. Written apart from the solver: the two have only the words of the problem in common."""

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from service.engine.cutting.check_prices import bought_by_measure, least_payable
from service.engine.cutting.problem import BarPlan, Certificate, Stock
from service.vocabulary import CutStatus

LARGEST_WORTH = 1 << 62


class CutPlanWrong(AssertionError):
    """A plan is not what it says; `faults` lists everything wrong with it."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


def check_plan(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int, plan: BarPlan) -> None:
    """Raises CutPlanWrong unless the plan cuts exactly the pieces, fits its bars, and its bound and status hold."""
    faults = [*_faults_of_patterns(stock, kerf_mm, plan), *_faults_of_demand(pieces, stock, plan)]
    if not faults:
        faults = _faults_of_bound(pieces, stock, kerf_mm, plan)
    if faults:
        raise CutPlanWrong(faults)


def _faults_of_patterns(stock: Sequence[Stock], kerf_mm: int, plan: BarPlan) -> list[str]:
    faults = []
    taken: Counter[int] = Counter()
    for number, pattern in enumerate(plan.patterns, start=1):
        if not 0 <= pattern.stock < len(stock):
            faults.append(f"pattern {number}: there is no stock {pattern.stock}")
            continue
        if pattern.copies < 1:
            faults.append(f"pattern {number}: {pattern.copies} copies")
        lengths = [length for length, _ in pattern.counts]
        if not lengths or min(count for _, count in pattern.counts) < 1:
            faults.append(f"pattern {number}: a bar or a length of which nothing is cut")
        if lengths != sorted(set(lengths), reverse=True):
            faults.append(f"pattern {number}: lengths are not listed once each, longest first")
        cuts = sum(count for _, count in pattern.counts)
        fill = sum(length * count for length, count in pattern.counts) + kerf_mm * max(0, cuts - 1)
        if fill > stock[pattern.stock].length_mm:
            faults.append(f"pattern {number}: {fill} mm with saw cuts from a bar of {stock[pattern.stock].length_mm} mm")
        taken[pattern.stock] += pattern.copies
    for place, count in sorted(taken.items()):
        limit = stock[place].quantity
        if limit is not None and count > limit:
            faults.append(f"stock {place}: {count} bars taken of {limit}")
    used = sum(stock[place].price * count for place, count in taken.items())
    if used != plan.used:
        faults.append(f"the bars come to {used}, the plan says {plan.used}")
    return faults


def _faults_of_demand(pieces: Mapping[int, int], stock: Sequence[Stock], plan: BarPlan) -> list[str]:
    made: Counter[int] = Counter()
    for pattern in plan.patterns:
        for length, count in pattern.counts:
            made[length] += count * pattern.copies
    left = dict(plan.unplaced)
    faults = []
    if [length for length, _ in plan.unplaced] != sorted(left, reverse=True) or any(count < 1 for count in left.values()):
        faults.append("unplaced pieces are not listed once each, longest first")
    for length in sorted(set(pieces) | set(made) | set(left)):
        want, got = pieces.get(length, 0), made[length] + left.get(length, 0)
        if got != want:
            faults.append(f"{length} mm: {got} cut or unplaced, {want} wanted")
        if length in left and any(s.quantity is None and s.length_mm >= length for s in stock):
            faults.append(f"{length} mm: left unplaced, but there is stock without limit that holds it")
    return faults


def _faults_of_bound(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int, plan: BarPlan) -> list[str]:
    left = dict(plan.unplaced)
    placed = {length: n for length, count in pieces.items() if (n := count - left.get(length, 0)) > 0}
    ran_out = any(s.length_mm >= length for length in left for s in stock if s.quantity != 0)
    faults = []
    if plan.certificate is None:
        proven = material_bound(placed, stock, kerf_mm)
        if plan.lower_bound > proven:
            faults.append(f"the lower bound is {plan.lower_bound}; without a certificate only {proven} is proven")
    else:
        proven = prove_bound(placed, stock, kerf_mm, plan.certificate)
        if plan.certificate.proves > proven:
            faults.append(f"the certificate is said to prove {plan.certificate.proves}, it proves {proven}")
        if plan.lower_bound < plan.certificate.proves:
            faults.append(f"the lower bound is {plan.lower_bound}, less than its certificate proves ({plan.certificate.proves})")
    if not 0 <= plan.lower_bound <= plan.used:
        faults.append(f"the lower bound is {plan.lower_bound}, the plan costs {plan.used}")
    if ran_out or (plan.lower_bound < plan.used and plan.certificate is None):
        honest = CutStatus.HEURISTIC
    else:
        honest = CutStatus.OPTIMAL if plan.lower_bound == plan.used else CutStatus.BOUNDED
    if plan.status != honest:
        faults.append(f"the status is {plan.status}, what is proven is {honest}")
    return faults


def prove_bound(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int, certificate: Certificate) -> int:
    """What the certificate proves of any plan that cuts `pieces` from `stock`; 0 when it proves nothing.

    One integer knapsack over the longest bar: `best[c]` is the most worth that a bar of c mm, saw cut included, can hold.
    """
    value = dict(certificate.values)
    longest = max((s.length_mm for s in stock if s.quantity != 0), default=0) + kerf_mm
    if certificate.scale < 1 or any(v < 0 for v in value.values()):
        return 0
    best = np.zeros(longest + 1, dtype=np.int64)
    most = 0
    for length, count in sorted(pieces.items()):
        width, worth = length + kerf_mm, value.get(length, 0)
        many = min(count, longest // width)
        most += worth * many
        if most > LARGEST_WORTH:
            return 0
        step = 1
        while worth and many > 0:
            take = min(step, many)
            np.maximum(best[take * width :], best[: longest + 1 - take * width] + take * worth, out=best[take * width :])
            many -= take
            step *= 2
    bound = sum(value.get(length, 0) * count for length, count in pieces.items())
    alike: Counter[tuple[int, int]] = Counter()
    for s in stock:
        excess = int(best[s.length_mm + kerf_mm]) - s.price * certificate.scale if s.quantity != 0 else 0
        if excess > 0 and s.quantity is None:
            return 0
        alike[s.length_mm, excess] += s.quantity or 0
    bound -= sum(max(0, excess) * min(number, sum(pieces.values())) for (_, excess), number in alike.items())
    return least_payable(-(-bound // certificate.scale), [(s.price, s.quantity) for s in _usable(pieces, stock)])


def material_bound(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int) -> int:
    """The price of the pieces' total length, saw cuts included, were bars bought by the mm at the best rates first."""
    want = sum((length + kerf_mm) * count for length, count in pieces.items())
    return bought_by_measure(want, [(s.price, s.length_mm + kerf_mm, s.quantity) for s in _usable(pieces, stock)])


def _usable(pieces: Mapping[int, int], stock: Sequence[Stock]) -> list[Stock]:
    shortest = min(pieces, default=0)
    return [s for s in stock if s.length_mm >= shortest and s.quantity != 0]
