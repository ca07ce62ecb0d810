"""The way in: from a first plan and a bound towards a proven optimum, within limits that count work and not time."""

from dataclasses import dataclass

from service.engine.cutting.sheet_problem import SheetBound, SheetCertificate
from service.engine.cutting.sheet_solver.bound import area_bound
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.shelves import shelf_plan


@dataclass(frozen=True, slots=True)
class Answer:
    """`left`: the pieces that limited stock ran out for. `lower_bound` is for the pieces placed."""

    takes: list[Take]
    left: Counts
    lower_bound: int
    bound: SheetBound
    certificate: SheetCertificate | None


def solve(instance: SheetInstance) -> Answer:
    if not any(instance.demand):
        return Answer([], instance.demand, 0, SheetBound.ANY_PACKING, None)
    takes, left = shelf_plan(instance, instance.demand, [s.quantity for s in instance.sheets])
    placed = tuple(n - m for n, m in zip(instance.demand, left, strict=True))
    lower = min(area_bound(instance, placed), instance.cost(takes))
    return Answer(takes, left, lower, SheetBound.ANY_PACKING, None)
