"""The way in: from a first plan and a bound towards a proven optimum, within limits that count work and not time."""

from dataclasses import dataclass

from service.engine.cutting.problem import Certificate
from service.engine.cutting.solver.firstfit import first_fit
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.tidy import tidy


@dataclass(frozen=True, slots=True)
class Answer:
    """`left`: the pieces that limited stock ran out for."""

    takes: list[Take]
    left: Ints
    lower_bound: int
    certificate: Certificate | None


def solve(instance: Instance) -> Answer:
    takes, left = first_fit(instance, instance.demand, [b.quantity for b in instance.bars])
    return Answer(tidy(instance, takes), left, 0, None)
