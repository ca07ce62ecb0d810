"""First fit decreasing: a plan at once, whatever else fails. Equal bars are filled once and repeated."""

from collections.abc import Sequence

import numpy as np

from service.engine.cutting.solver.instance import Instance, Ints, Take


def first_fit(instance: Instance, demand: Ints, stock_left: Sequence[int | None]) -> tuple[list[Take], Ints]:
    """The cheapest of several first-fit plans for `demand`, and the pieces for which stock ran out (all zero as a rule).

    Tried: each unlimited bar as the one to fill, with the limited bars filled first and with those left alone.
    """
    best: tuple[tuple[int, int, int], list[Take], Ints] | None = None
    for use_limited in (True, False):
        for main in instance.unlimited or [-1]:
            takes, left = _fill(instance, demand, stock_left, main, use_limited)
            score = (int(left.sum()), instance.cost(takes), len(takes))
            if best is None or score < best[0]:
                best = (score, takes, left)
        if not instance.limited:
            break
    assert best is not None
    return best[1], best[2]


def _fill(
    instance: Instance, demand: Ints, stock_left: Sequence[int | None], main: int, use_limited: bool
) -> tuple[list[Take], Ints]:
    bars, widths = instance.bars, instance.widths
    left = demand.copy()
    takes: list[Take] = []

    def cut(bar: int, copies_at_most: int | None) -> bool:
        counts = fill_longest_first(widths, left, bars[bar].capacity)
        if not counts.any():
            return False
        cutting = counts > 0
        copies = int((left[cutting] // counts[cutting]).min())
        copies = copies if copies_at_most is None else min(copies, copies_at_most)
        if bars[bar].quantity is None:
            bar = cheapest_holding(instance, int((counts * widths).sum()), bar)
        takes.append(Take(bar, counts, copies))
        left[:] -= counts * copies
        return True

    if use_limited:
        for bar in sorted(instance.limited, key=lambda b: (bars[b].price / bars[b].capacity, -bars[b].capacity, b)):
            there = stock_left[bar] or 0
            while there > 0 and left.any() and cut(bar, there):
                there -= takes[-1].copies
    while left.any():
        longest = int(np.argmax(left > 0))
        bar = main
        if bar < 0 or bars[bar].capacity < widths[longest]:
            holding = [b for b in instance.unlimited if bars[b].capacity >= widths[longest]]
            if not holding:
                break
            bar = min(holding, key=lambda b: (bars[b].price / bars[b].capacity, b))
        cut(bar, None)
    if left.any() and instance.unlimited:
        fits = widths <= max(bars[b].capacity for b in instance.unlimited)
        scarce = np.where(fits, 0, left)
        if scarce.any() and (left - scarce).any():
            more, _ = _fill(instance, left - scarce, stock_left, main, False)
            takes, left = takes + more, scarce
    return takes, left


def fill_longest_first(widths: Ints, left: Ints, capacity: int) -> Ints:
    """As many as fit of the longest, then of the next, and so on."""
    counts = np.zeros_like(left)
    for i in np.flatnonzero(left):
        if widths[i] <= capacity:
            counts[i] = min(int(left[i]), capacity // int(widths[i]))
            capacity -= int(counts[i] * widths[i])
    return counts


def cheapest_holding(instance: Instance, fill: int, bar: int) -> int:
    """The cheapest unlimited bar that holds `fill`, the shortest of equally cheap ones; `bar` when none is better."""
    bars = instance.bars
    holding = [b for b in instance.unlimited if bars[b].capacity >= fill]
    return min(holding, key=lambda b: (bars[b].price, bars[b].length_mm, b), default=bar)
