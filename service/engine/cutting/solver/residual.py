"""What is left of a problem once some bars are cut: a smaller problem of the same form, and the way back."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from service.engine.cutting.solver.instance import Instance, Ints, Take


class Residual:
    """`instance` has only the lengths still wanted and the bars still there; `outward` puts its bars in the whole's terms."""

    def __init__(self, whole: Instance, demand: Ints, stock_left: Sequence[int | None]) -> None:
        self._lengths = np.flatnonzero(demand)
        self._bars = [b for b, there in enumerate(stock_left) if there != 0]
        self._of = len(demand)
        capacity = max((whole.bars[b].capacity for b in self._bars), default=0)
        kept = self._lengths
        self.instance = Instance(
            kerf_mm=whole.kerf_mm,
            lengths=tuple(whole.lengths[i] for i in kept),
            widths=whole.widths[kept],
            demand=demand[kept],
            most=np.minimum(demand[kept], capacity // whole.widths[kept]),
            bars=tuple(replace(whole.bars[b], quantity=stock_left[b]) for b in self._bars),
            price_list=whole.price_list,
        )

    def outward(self, takes: Sequence[Take]) -> list[Take]:
        return [Take(self._bars[t.bar], self.outward_counts(t.counts), t.copies) for t in takes]

    def outward_counts(self, counts: Ints) -> Ints:
        out = np.zeros(self._of, dtype=np.int64)
        out[self._lengths] = counts
        return out

    def inward(self, takes: Sequence[Take]) -> list[Take]:
        """Those of the larger problem's patterns that can still be cut in full."""
        place = {bar: k for k, bar in enumerate(self._bars)}
        demand = self.outward_counts(self.instance.demand)
        fitting = [t for t in takes if t.bar in place and (t.counts <= demand).all()]
        return [Take(place[t.bar], t.counts[self._lengths], t.copies) for t in fitting]
