"""From bars that hold at least what is wanted to bars that hold exactly that."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from service.engine.cutting.solver.firstfit import cheapest_holding
from service.engine.cutting.solver.instance import Instance, Take


def tidy(instance: Instance, takes: Sequence[Take]) -> list[Take]:
    """Leaves out pieces cut too many, takes the cheapest bar that still holds the rest, joins equal bars, in a fixed order.

    Surplus is left out of the emptiest bars first, so that what remains of them is long.
    """
    over = -instance.demand
    for t in takes:
        over = over + t.counts * t.copies
    kept: list[Take] = []
    for t in sorted(takes, key=lambda t: (int((t.counts * instance.widths).sum()), t.bar, t.counts.tolist())):
        copies = t.copies
        while copies > 0:
            drop = np.minimum(t.counts, np.maximum(over, 0))
            dropping = drop > 0
            alike = min(copies, int((over[dropping] // drop[dropping]).min())) if dropping.any() else copies
            over = over - drop * alike
            copies -= alike
            counts = t.counts - drop
            if not counts.any():
                continue
            bar = t.bar
            fill = int((counts * instance.widths).sum())
            other = cheapest_holding(instance, fill, bar)
            if _better(instance, other, bar):
                bar = other
            kept.append(Take(bar, counts, alike))
    return in_order(kept)


def in_order(takes: Sequence[Take]) -> list[Take]:
    """Equal bars joined; longest bars first, then those with more of the longest pieces."""
    first: dict[tuple[int, bytes], Take] = {}
    copies: Counter[tuple[int, bytes]] = Counter()
    for t in takes:
        key = (t.bar, t.counts.tobytes())
        first.setdefault(key, t)
        copies[key] += t.copies
    joined = [replace(t, copies=copies[key]) for key, t in first.items()]
    return sorted(joined, key=lambda t: (-t.bar, (-t.counts).tolist()))


def _better(instance: Instance, other: int, bar: int) -> bool:
    a, b = instance.bars[other], instance.bars[bar]
    return (a.price, a.length_mm) < (b.price, b.length_mm)
