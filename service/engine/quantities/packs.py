"""Which packs to order for a number of pieces: never fewer pieces than needed (rule Q1)."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import NamedTuple

from service.engine.inputs import Item


class _Fill(NamedTuple):
    """Compared in this order: what it costs, how many pieces, how many packs; then first the packs of the items named first."""

    cost: int | Decimal
    pieces: int
    packs: int
    counts: tuple[int, ...]

    def and_packs(self, i: int, cost: int | Decimal, size: int, times: int = 1) -> "_Fill":
        counts = (*self.counts[:i], self.counts[i] + times, *self.counts[i + 1 :])
        return _Fill(self.cost + times * cost, self.pieces + times * size, self.packs + times, counts)


def choose_packs(pieces: int, items: Sequence[Item]) -> tuple[tuple[Item, int], ...]:
    """Items and packs of each that hold at least `pieces` at least cost, or with fewest pieces where a price is missing.

    Items of one size in different packs are mixed. Items of different sizes are not, since a job is fixed with one kind of screw:
    the size that fills the need best is taken. Ties go to fewer pieces, then fewer packs, then the order of `items`.
    """
    if pieces == 0 or not items:
        return ()
    priced = all(item.price_minor is not None for item in items)
    sizes: dict[tuple[object, ...], list[Item]] = {}
    for item in items:
        sizes.setdefault((item.length_mm, item.width_mm, item.thickness_mm), []).append(item)
    fills = [(group, _cover(pieces, group, priced)) for group in sizes.values()]
    group, fill = min(fills, key=lambda choice: choice[1][:3])
    return tuple((item, packs) for item, packs in zip(group, fill.counts, strict=True) if packs)


def _cover(pieces: int, items: Sequence[Item], priced: bool) -> _Fill:
    """The best fill from packs of one size of item: unbounded covering, in steps of the packs' common divisor."""
    sizes = [item.pack_size for item in items]
    costs = [(item.price_minor or 0) * item.pack_size if priced else item.pack_size for item in items]
    step = gcd(*sizes)
    units = [size // step for size in sizes]
    need = -(-pieces // step)

    # Fewer other packs are ever needed than the best-value pack has units: among that many, some hold between them a whole number
    # of best packs, which would serve as well. Whatever lies beyond what those others can hold is bought in best packs outright.
    best = min(range(len(items)), key=lambda i: (Fraction(costs[i]) / units[i], -units[i], i))
    bulk = max(0, need - units[best] * max(units)) // units[best]

    fills = [_Fill(0, 0, 0, (0,) * len(items))]
    for covered in range(1, need - bulk * units[best] + 1):
        candidates = (fills[max(0, covered - units[i])].and_packs(i, costs[i], sizes[i]) for i in range(len(items)))
        fills.append(min(candidates, key=lambda fill: (*fill[:3], [-count for count in fill.counts])))
    return fills[-1].and_packs(best, costs[best], sizes[best], bulk)
