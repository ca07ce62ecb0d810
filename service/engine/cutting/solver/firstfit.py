"""First fit decreasing: a plan at once, whatever else fails. Equal bars are filled once and repeated."""

from collections.abc import Sequence

import numpy as np

from service.engine.cutting.solver.instance import Instance, Ints, Take

NO_BAR: tuple[None] = (None,)


def first_fit(instance: Instance, demand: Ints, stock_left: Sequence[int | None]) -> tuple[list[Take], Ints]:
    """The cheapest of several first-fit plans for `demand`, and the pieces for which stock ran out (all zero as a rule).

    Tried: each unlimited bar as the one to fill, with the limited bars filled first and, where they cost, with those left alone.
    """
    best: tuple[tuple[int, int, int], list[Take], Ints] | None = None
    costly = any(instance.bars[b].price for b in instance.limited)
    for use_limited in (True, False) if costly else (True,):
        for main in instance.unlimited or NO_BAR:
            fill = _Fill(instance, demand, stock_left)
            if use_limited:
                fill.limited_bars()
            fill.unlimited_bars(main)
            score = (sum(fill.left), instance.cost(fill.takes), len(fill.takes))
            if best is None or score < best[0]:
                best = (score, fill.takes, np.array(fill.left, dtype=np.int64))
    assert best is not None
    return best[1], best[2]


class _Fill:
    """One plan in the making: `left` is still to be cut."""

    def __init__(self, instance: Instance, demand: Ints, stock_left: Sequence[int | None]) -> None:
        self.instance, self.stock_left = instance, stock_left
        self.left: list[int] = demand.tolist()
        self.takes: list[Take] = []
        self._widths: list[int] = instance.widths.tolist()
        self._rates = [b.price / b.capacity for b in instance.bars]

    def limited_bars(self) -> None:
        """The cheapest a mm first."""
        bars = self.instance.bars
        for bar in sorted(self.instance.limited, key=lambda b: (self._rates[b], -bars[b].capacity, b)):
            there = self.stock_left[bar] or 0
            while there > 0 and self._cut(bar, there):
                there -= self.takes[-1].copies

    def unlimited_bars(self, main: int | None) -> None:
        """Fills `main`, or for a piece that it does not hold the cheapest a mm that does; leaves what none holds."""
        bars = self.instance.bars
        for i in range(len(self.left)):
            holding = [b for b in self.instance.unlimited if bars[b].capacity >= self._widths[i]]
            while holding and self.left[i] > 0:
                fits = main is not None and bars[main].capacity >= self._widths[i]
                self._cut(main if main is not None and fits else min(holding, key=lambda b: (self._rates[b], b)), None)

    def _cut(self, bar: int, at_most: int | None) -> bool:
        """Fills one bar, longest pieces first, and as many more alike as pieces and stock allow; False when it holds none."""
        room = self.instance.bars[bar].capacity
        counts = [0] * len(self.left)
        copies = at_most
        for i, wanted in enumerate(self.left):
            if wanted and self._widths[i] <= room:
                counts[i] = n = min(wanted, room // self._widths[i])
                room -= n * self._widths[i]
                copies = wanted // n if copies is None else min(copies, wanted // n)
        if copies is None or not any(counts):
            return False
        if self.instance.bars[bar].quantity is None:
            bar = cheapest_holding(self.instance, self.instance.bars[bar].capacity - room, bar)
        self.takes.append(Take(bar, np.array(counts, dtype=np.int64), copies))
        self.left = [wanted - n * copies for wanted, n in zip(self.left, counts, strict=True)]
        return True


def cheapest_holding(instance: Instance, fill: int, bar: int) -> int:
    """The cheapest unlimited bar that holds `fill`, the shortest of equally cheap ones; `bar` when none is better."""
    bars = instance.bars
    holding = [b for b in instance.unlimited if bars[b].capacity >= fill]
    return min(holding, key=lambda b: (bars[b].price, bars[b].length_mm, b), default=bar)
