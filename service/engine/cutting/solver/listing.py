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
        columns: list[Column] = []
        for b, bar in enumerate(self.instance.bars):
            least = bar.price * self.bound.scale + self.bound.excess[b] - slack
            counts = self._patterns(bar.capacity, least, 4 * at_most)
            if counts is None:
                return None
            kept = counts[self._full(counts, b)] if only_full else counts[counts.any(axis=1)]
            columns += [(b, row) for row in kept]
            if len(columns) > at_most:
                return None
        return columns

    def _patterns(self, capacity: int, least: int, at_most: int) -> Ints | None:
        """Every row of counts that fits and is worth at least `least`, in a fixed order."""
        widths, values, most = self.instance.widths, self.bound.values, self.instance.most
        nothing = np.zeros((0, len(widths)), dtype=np.int64)
        if self._best_rest[0, capacity] < least:
            return nothing
        room, worth = np.array([capacity]), np.array([0])
        choices: list[tuple[Ints, Ints]] = []
        for i in range(len(widths)):
            count = np.arange(min(most[i], capacity // widths[i]), -1, -1)
            room_then = room[:, np.newaxis] - count * widths[i]
            worth_then = worth[:, np.newaxis] + count * values[i]
            reachable = worth_then + self._best_rest[i + 1, np.maximum(room_then, 0)]
            parent, choice = np.nonzero((room_then >= 0) & (reachable >= least))
            if len(parent) > at_most:
                return None
            if not len(parent):
                return nothing
            room, worth = room_then[parent, choice], worth_then[parent, choice]
            choices.append((parent, count[choice]))
        counts = np.zeros((len(room), len(widths)), dtype=np.int64)
        at = np.arange(len(room))
        for i in range(len(widths) - 1, -1, -1):
            parent, count_of = choices[i]
            counts[:, i] = count_of[at]
            at = parent[at]
        return counts

    def _full(self, counts: Ints, b: int) -> NDArray[np.bool_]:
        instance, bar = self.instance, self.instance.bars[b]
        fill = counts @ instance.widths
        room = bar.capacity - fill
        one_more = np.less(counts, instance.most) & np.less_equal(instance.widths, room[:, np.newaxis])
        keep: NDArray[np.bool_] = np.logical_and(np.count_nonzero(counts, axis=1) > 0, np.count_nonzero(one_more, axis=1) == 0)
        for other in instance.unlimited:
            if instance.bars[other].price < bar.price:
                keep = np.logical_and(keep, np.greater(fill, instance.bars[other].capacity))
        return keep
