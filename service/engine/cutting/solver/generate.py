"""Column generation: the linear program asks the knapsack for patterns that would pay, until none would."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from service.engine.cutting.solver.bound import Bound, Floats, bound_from, scale_of
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.knapsack import Knapsack
from service.engine.cutting.solver.master import MANY_LENGTHS, MISSING, Master
from service.engine.cutting.solver.prices import price_unit

MOST_ROUNDS = 2000
LIMITED_A_ROUND = 40
FEW_A_ROUND, MANY_A_ROUND = 20, 400
"""Patterns added of one bar, where lengths are few and where they are many."""
PAYS = 1e-7


@dataclass(slots=True)
class Relaxation:
    """The relaxed problem, solved: patterns with their fractions, and the best bound that its prices gave on the way."""

    master: Master
    knapsack: Knapsack
    fractions: Floats
    bound: Bound | None
    stock_is_short: bool


def relax(instance: Instance, first: Sequence[Take], enough: int | None) -> Relaxation:
    """Solves the relaxation starting from the patterns of a first plan; goes no further than to prove that a plan of cost
    `enough`, where one is known, is the best."""
    master, knapsack = Master(instance), Knapsack(instance)
    for take in first:
        master.add(take.bar, take.counts)
    for i, width in enumerate(instance.widths):
        for bar in instance.unlimited:
            if instance.bars[bar].capacity >= width:
                counts = np.zeros_like(instance.demand)
                counts[i] = min(int(instance.demand[i]), instance.bars[bar].capacity // int(width))
                master.add(bar, counts)
    for i in scarce_lengths(instance):
        counts = np.zeros_like(instance.demand)
        counts[i] = 1
        master.add(MISSING, counts)
    pricing = Pricing(instance, master, knapsack, enough)
    pricing.run()
    fractions = master.fractions()
    short = any(bar == MISSING and x > PAYS for (bar, _), x in zip(master.columns, fractions, strict=True))
    bound = bound_from(instance, knapsack, pricing.best_prices, scale_of(instance))
    return Relaxation(master, knapsack, fractions, bound, short)


def scarce_lengths(instance: Instance) -> list[int]:
    """Lengths that only limited bars hold: stock may run out for them."""
    longest = max((instance.bars[b].capacity for b in instance.unlimited), default=0)
    return [i for i, width in enumerate(instance.widths) if width > longest]


class Pricing:
    """One run of column generation. `best_prices` are the prices of pieces that gave the best bound so far."""

    def __init__(self, instance: Instance, master: Master, knapsack: Knapsack, enough: int | None) -> None:
        self.instance, self.master, self.knapsack = instance, master, knapsack
        self.unit = price_unit(instance.price_list)
        self.enough = enough
        self.scale = scale_of(instance)
        self.best_prices = np.zeros(len(instance.lengths))
        self.best_bound = -1.0

    def run(self) -> None:
        """Prices by length alone come first: where bars cost the same a mm, they often prove all that there is to prove."""
        rates = [b.price / b.capacity for b in self.instance.bars if b.quantity is None]
        by_length = self.instance.widths.astype(np.float64) * min(rates, default=0.0)
        self._note_bound(by_length, self.knapsack.fill(self._whole(by_length)))
        for _ in range(MOST_ROUNDS):
            if self._proves_enough():
                return
            prices, stock_prices = self.master.solve()
            if self._has_many_lengths and self._proven_at_most(self.master.cost()):
                return
            if not self._add_patterns(prices, stock_prices):
                return

    def _add_patterns(self, prices: Floats, stock_prices: Floats) -> int:
        """Adds patterns that are best at these prices and pay; how many.

        One filling of the table gives many patterns, each the best that some piece completes: few rounds cover all lengths.
        """
        instance = self.instance
        best = self.knapsack.fill(self._whole(prices), for_closing=True)
        self._note_bound(prices, best)
        added = 0
        limit_price = dict(zip(instance.limited, stock_prices.tolist(), strict=True))
        at_most = MANY_A_ROUND if self._has_many_lengths else FEW_A_ROUND
        for bar in instance.unlimited:
            for counts in self.knapsack.closing(bar, instance.bars[bar].price * self.scale, at_most):
                added += self._add_if_it_pays(bar, counts, prices, limit_price)
        for bar in self._most_attractive(best, limit_price):
            added += self._add_if_it_pays(bar, self.knapsack.pattern(instance.bars[bar].capacity), prices, limit_price)
        return added

    def _add_if_it_pays(self, bar: int, counts: Ints, prices: Floats, limit_price: dict[int, float]) -> bool:
        reduced = self.instance.bars[bar].price - limit_price.get(bar, 0.0) - float(prices @ counts)
        return reduced < -PAYS and self.master.add(bar, counts)

    def _most_attractive(self, best: Ints, limit_price: dict[int, float]) -> list[int]:
        """The limited bars whose best pattern gains most, at most LIMITED_A_ROUND of them."""
        gains = []
        for bar, limit in limit_price.items():
            gain = int(best[self.instance.bars[bar].capacity]) / self.scale - self.instance.bars[bar].price + limit
            if gain > 0:
                gains.append((-gain, bar))
        return [bar for _, bar in sorted(gains)[:LIMITED_A_ROUND]]

    def _whole(self, prices: Floats) -> Ints:
        return np.floor(prices * self.scale + 1e-7).astype(np.int64)

    def _proves_enough(self) -> bool:
        """Whether the bound so far reaches the cost of the first plan."""
        return self.enough is not None and self._proven_at_most(self.enough)

    def _proven_at_most(self, cost: float) -> bool:
        """Whether the bound so far, rounded up to what prices can make, leaves nothing to prove up to `cost`."""
        return ceil(self.best_bound / self.unit - 1e-6) * self.unit >= cost - 1e-6

    @property
    def _has_many_lengths(self) -> bool:
        """Then a round asks for many patterns at once, and the relaxation is solved no further than its bound can use."""
        return len(self.instance.lengths) >= MANY_LENGTHS

    def _note_bound(self, asked: Floats, best: Ints) -> None:
        """Keeps prices that prove more than any before, once scaled down so that no bar holds more than it costs."""
        bars, scale = self.instance.bars, self.scale
        held = [int(best[b.capacity]) / (b.price * scale) for b in bars if b.quantity is None and b.price]
        ratio = max(1.0, *held) if held else 1.0
        proven = float(asked @ self.instance.demand) / ratio
        for b in bars:
            if b.quantity is not None:
                proven -= b.quantity * max(0.0, int(best[b.capacity]) / (scale * ratio) - b.price)
        if proven > self.best_bound:
            self.best_bound, self.best_prices = proven, asked
