"""Lower bounds in integers: from a relaxation's prices to numbers that anyone can check."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.problem import Certificate
from service.engine.cutting.solver.instance import Instance, Ints
from service.engine.cutting.solver.knapsack import Knapsack

FINEST_SCALE = 1 << 20
LARGEST_WORTH = 1 << 61
LARGEST_SUM_TABLE = 1 << 20
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
        return Certificate(values, self.scale, next_sum(instance, -(-self.worth // self.scale)))


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
    cost = Fraction(0)
    for bar in sorted(instance.bars, key=lambda b: Fraction(b.price, b.length_mm + kerf)):
        there = sum(quantity or 0 for _, quantity in bar.places) * (bar.length_mm + kerf)
        used = want if bar.quantity is None else min(want, there)
        cost += Fraction(bar.price, bar.length_mm + kerf) * used
        want -= used
    return ceil(cost)


def next_sum(instance: Instance, bound: int) -> int:
    """The least sum of bar prices not below `bound`; of large sums, the least multiple of the prices' common unit."""
    priced = [(price, quantity) for price, quantity in instance.price_list if price > 0]
    unit = price_unit(instance)
    floor = max(0, -(-bound // unit))
    top = floor + max((price // unit for price, _ in priced), default=0)
    if not priced or top > LARGEST_SUM_TABLE:
        return floor * unit
    payable = np.zeros(top + 1, dtype=bool)
    payable[0] = True
    for price, quantity in priced:
        step = price // unit
        copies = top // step if quantity is None else min(quantity, top // step)
        lump = 1
        while copies > 0:
            lump = min(lump, copies)
            if lump * step <= top:
                payable[lump * step :] |= payable[: top + 1 - lump * step].copy()
            copies -= lump
            lump *= 2
    reached = np.flatnonzero(payable[floor:])
    return (floor + int(reached[0])) * unit if len(reached) else floor * unit


def price_unit(instance: Instance) -> int:
    """What every plan's cost is a multiple of."""
    return gcd(*(price for price, _ in instance.price_list)) or 1
