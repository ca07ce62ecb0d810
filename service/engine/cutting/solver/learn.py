"""Plans bar by bar with values that learn: pieces that were left with bad company become worth more in the next attempt.

Known in the literature as sequential value correction; here for several bars with prices, the corrections in a fixed sequence.
"""

import numpy as np

from service.engine.cutting.solver.firstfit import cheapest_holding
from service.engine.cutting.solver.incumbent import Incumbent
from service.engine.cutting.solver.instance import Instance, Take
from service.engine.cutting.solver.knapsack import Knapsack

FINENESS = 1 << 12
LONGER_IS_HARDER = 1.02
INERTIA = (1.0, 1.5, 2.5)


def learn(instance: Instance, best: Incumbent, attempts: int, enough: int) -> None:
    """Offers `best` the plan of each attempt; stops early when one costs `enough` or less."""
    rate = max((b.price / b.capacity for b in instance.bars), default=0.0)
    if rate == 0 or not instance.unlimited or not instance.demand.any():
        return
    lengths = instance.widths.astype(np.float64)
    fair = lengths**LONGER_IS_HARDER * (rate * FINENESS / lengths.max() ** (LONGER_IS_HARDER - 1))
    values = fair.copy()
    for attempt in range(attempts):
        if best.takes is not None and best.cost <= enough:
            return
        inertia = INERTIA[attempt % len(INERTIA)]
        left = instance.demand.copy()
        stock = [b.quantity for b in instance.bars]
        takes: list[Take] = []
        while left.any():
            knapsack = Knapsack(instance, np.minimum(instance.most, left))
            held = knapsack.fill(np.maximum(values, 1.0).astype(np.int64))
            bar = max(
                (b for b, there in enumerate(stock) if there != 0 and held[instance.bars[b].capacity] > 0),
                key=lambda b: (int(held[instance.bars[b].capacity]) / max(instance.bars[b].price, 1e-9), -b),
                default=None,
            )
            if bar is None:
                break
            counts = knapsack.pattern(instance.bars[bar].capacity)
            fill = int(counts @ instance.widths)
            if instance.bars[bar].quantity is None:
                bar = cheapest_holding(instance, fill, bar)
            copies = max(1, int((left[counts > 0] // counts[counts > 0]).min()) // 2)
            there = stock[bar]
            if there is not None:
                copies = min(copies, there)
                stock[bar] = there - copies
            takes.append(Take(bar, counts, copies))
            paid = fair * (instance.bars[bar].price / (rate * fill))
            weight = counts * copies / (inertia * (instance.demand + left))
            values = np.where(counts > 0, (1 - weight) * values + weight * paid, values)
            left = left - counts * copies
        best.offer(takes)
