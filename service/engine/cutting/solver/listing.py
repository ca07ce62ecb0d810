"""Lists every pattern that a plan within a target cost can contain.

With values of pieces that prove a bound, a plan of cost T can only use patterns whose price exceeds what they hold by at most
T less the bound. All of them are found by choosing how many of each length, longest first, a whole front of partial patterns at
a time, and giving up those that even the best filling of the rest leaves too dear.
"""

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.solver.bound import Bound
from service.engine.cutting.solver.instance import Instance, Ints
from service.engine.cutting.solver.knapsack import Knapsack
from service.engine.cutting.solver.master import Column

MOST_PARTIAL = 8
"""Times as many partial patterns are followed as whole ones are wanted."""


class Lister:
    """Lists patterns against one bound; the table of best fillings is made once."""

    def __init__(self, instance: Instance, knapsack: Knapsack, bound: Bound) -> None:
        self.instance, self.bound = instance, bound
        self._best_rest = knapsack.suffixes(bound.values)

    def slack(self, target: int) -> int:
        """By how much, in scaled units, a plan that costs `target` exceeds the bound: no pattern in it can lose more."""
        return target * self.bound.scale - self.bound.worth

    def within(self, slack: int, at_most: int, only_full: bool) -> list[Column] | None:
        """The patterns that lose `slack` or less; None when there are more than `at_most`.

        `only_full`: without those to which a piece could be added, or which a cheaper unlimited bar holds; a plan that may cut
        more than is wanted needs no others.
        """
        pairs = zip(self.instance.bars, self.bound.excess, strict=True)
        least = np.array([max(0, bar.price * self.bound.scale + excess - slack) for bar, excess in pairs])
        found = self._patterns(least, MOST_PARTIAL * at_most)
        if found is None:
            return None
        bar, counts = found
        kept = self._is_full(bar, counts) if only_full else counts.any(axis=1)
        bar, counts = bar[kept], counts[kept]
        return list(zip(bar.tolist(), counts, strict=True)) if len(bar) <= at_most else None

    def _patterns(self, least: Ints, at_most: int) -> tuple[Ints, Ints] | None:
        """(bar, counts) of all that fits the b-th bar and is worth at least `least[b]`, bar by bar and in a fixed order."""
        widths, values, most = self.instance.widths, self.bound.values, self.instance.most
        capacities = np.array([bar.capacity for bar in self.instance.bars])
        bar = np.flatnonzero(self._best_rest[0, capacities] >= least)
        room, worth = capacities[bar], np.zeros_like(bar)
        choices: list[tuple[Ints, Ints]] = []
        for i in range(len(widths)):
            count = np.arange(most[i], -1, -1)
            room_then = room[:, np.newaxis] - count * widths[i]
            worth_then = worth[:, np.newaxis] + count * values[i]
            reachable = worth_then + self._best_rest[i + 1, np.maximum(room_then, 0)]
            parent, choice = np.nonzero((room_then >= 0) & (reachable >= least[bar, np.newaxis]))
            if len(parent) > at_most:
                return None
            room, worth, bar = room_then[parent, choice], worth_then[parent, choice], bar[parent]
            choices.append((parent, count[choice]))
        counts = np.zeros((len(bar), len(widths)), dtype=np.int64)
        at = np.arange(len(bar))
        for i in range(len(widths) - 1, -1, -1):
            parent, count_of = choices[i]
            counts[:, i] = count_of[at]
            at = parent[at]
        return bar, counts

    def _is_full(self, bar: Ints, counts: Ints) -> NDArray[np.bool_]:
        instance = self.instance
        capacities, prices = np.array([b.capacity for b in instance.bars]), np.array([b.price for b in instance.bars])
        fill = counts @ instance.widths
        one_more = np.less(counts, instance.most) & np.less_equal(instance.widths, (capacities[bar] - fill)[:, np.newaxis])
        keep: NDArray[np.bool_] = counts.any(axis=1) & ~one_more.any(axis=1)
        for other in instance.unlimited:
            keep &= (prices[other] >= prices[bar]) | (fill > capacities[other])
        return keep
