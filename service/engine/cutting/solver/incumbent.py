"""The best plan so far. Only plans that cut everything, from bars that exist, get in."""

from collections.abc import Sequence

import numpy as np

from service.engine.cutting.solver.instance import Instance, Take
from service.engine.cutting.solver.tidy import tidy


class Incumbent:
    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.takes: list[Take] | None = None
        self.cost = 0

    def offer(self, takes: Sequence[Take]) -> None:
        """Takes over a plan that is complete and cheaper, or as cheap with less stock."""
        made = np.zeros_like(self.instance.demand)
        taken = dict.fromkeys(self.instance.limited, 0)
        for t in takes:
            made += t.counts * t.copies
            if t.bar in taken:
                taken[t.bar] += t.copies
        if (made < self.instance.demand).any() or any(n > (self.instance.bars[b].quantity or 0) for b, n in taken.items()):
            return
        takes = tidy(self.instance, takes)
        if self.takes is None or self._score(takes) < self._score(self.takes):
            self.takes, self.cost = takes, self.instance.cost(takes)

    def _score(self, takes: Sequence[Take]) -> tuple[int, int, int]:
        return (
            self.instance.cost(takes),
            sum(self.instance.bars[t.bar].length_mm * t.copies for t in takes),
            len(takes),
        )
