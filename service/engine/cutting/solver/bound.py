"""Lower bounds in integers: from a relaxation's prices to numbers that anyone can check."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.problem import Certificate
from service.engine.cutting.solver.instance import Instance, Ints
from service.engine.cutting.solver.knapsack import Knapsack
from service.engine.cutting.solver.prices import at_best_rates, next_sum

FINEST_SCALE = 1 << 20
LARGEST_WORTH = 1 << 61
ROUNDING_ROOM = 1e-12

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Bound:
    """`worth / scale` is below the cost of every plan. `excess[b]`: by how much a limited bar can hold more than its price."""

    values: Ints
    scale: int
    excess: tuple[int, ...]
    worth: int

    def certificate(self, instance: Instance) -> Certificate:
        values = tuple((length, int(v)) for length, v in zip(instance.lengths, self.values, strict=True))
        return Certificate(values, self.scale, next_sum(instance.price_list, -(-self.worth // self.scale)))


def scale_of(instance: Instance) -> int:
    """The finest power of two at which no sum of values can leave 64-bit integers."""
    dearest = max((b.price for b in instance.bars), default=0) + 1
    pieces_a_bar = int(instance.most.sum()) + 1
    scale = FINEST_SCALE
    while scale > 1 and dearest * scale * pieces_a_bar > LARGEST_WORTH // 4:
        scale //= 2
    return scale


def bound_from(instance: Instance, knapsack: Knapsack, prices: Floats, scale: int) -> Bound | None:
    """Scales the prices of pieces down until no unlimited bar holds more than it costs, and adds up what that proves."""
    values = np.floor(np.maximum(prices, 0.0) * scale + 1e-7).astype(np.int64)
    free = max((b.capacity for b in instance.bars if b.quantity is None and b.price == 0), default=0)
    values[instance.widths <= free] = 0
    for _ in range(3):
        if sum(int(v) * int(n) for v, n in zip(values, instance.most, strict=True)) > LARGEST_WORTH:
            return None
        best = knapsack.fill(values)
        ratio = max(
            (int(best[b.capacity]) / (b.price * scale) for b in instance.bars if b.quantity is None and b.price), default=0.0
        )
        if ratio <= 1.0:
            excess = tuple(max(0, int(best[b.capacity]) - b.price * scale) if b.quantity else 0 for b in instance.bars)
            worth = sum(int(v) * int(d) for v, d in zip(values, instance.demand, strict=True))
            worth -= sum(e * (b.quantity or 0) for e, b in zip(excess, instance.bars, strict=True))
            return Bound(values, scale, excess, worth)
        values = np.floor(values / (ratio * (1 + ROUNDING_ROOM))).astype(np.int64)
    return None


def material_bound(instance: Instance, demand: Ints) -> int:
    """The price of the material alone, bought by the mm at the best rates first: a bound without a table."""
    kerf = instance.kerf_mm
    want = sum((length + kerf) * int(d) for length, d in zip(instance.lengths, demand, strict=True))
    return at_best_rates(want, [(bar.price, bar.length_mm + kerf, bar.in_stock) for bar in instance.bars])
