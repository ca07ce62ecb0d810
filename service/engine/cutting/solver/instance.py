"""The problem as the solver sees it: one canonical form, whatever order it was given in.

A piece of l mm and a saw cut of k mm take l + k out of a bar of L + k: that is exact, for the last cut needs no saw where it
falls in the bar's end. Widths and capacities are then counted in their greatest common unit.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.problem import Stock

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Bar:
    """One kind of bar. `capacity` in units; `places`: where it stands in the stock as given, and how many there are of each."""

    capacity: int
    length_mm: int
    price: int
    quantity: int | None
    places: tuple[tuple[int, int | None], ...]

    @property
    def in_stock(self) -> int | None:
        """How many there are, of use or not."""
        return None if self.quantity is None else sum(n or 0 for _, n in self.places)


@dataclass(frozen=True, slots=True)
class Take:
    """`copies` bars of one kind cut alike; `counts[i]` pieces of the i-th length from each."""

    bar: int
    counts: Ints
    copies: int


@dataclass(frozen=True, eq=False)
class Instance:
    """Lengths longest first, bars by capacity.

    `widths[i]`, `demand[i]`: what the i-th length takes, in units, and how many are wanted. `most[i]`: how many of it any one bar
    can be asked to hold. `price_list`: (price, quantity) of every bar that holds a piece: bounds are rounded up to sums of these.
    """

    kerf_mm: int
    lengths: tuple[int, ...]
    widths: Ints
    demand: Ints
    most: Ints
    bars: tuple[Bar, ...]
    price_list: tuple[tuple[int, int | None], ...]

    @cached_property
    def capacity(self) -> int:
        return max((b.capacity for b in self.bars), default=0)

    @cached_property
    def unlimited(self) -> list[int]:
        return [b for b, bar in enumerate(self.bars) if bar.quantity is None]

    @cached_property
    def limited(self) -> list[int]:
        return [b for b, bar in enumerate(self.bars) if bar.quantity is not None]

    def cost(self, takes: Sequence[Take]) -> int:
        return sum(self.bars[t.bar].price * t.copies for t in takes)


def canonical(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int) -> Instance:
    """Every piece must fit some bar. Bars that hold no piece, or that a longer and cheaper one replaces, are left out."""
    lengths = tuple(sorted((length for length, count in pieces.items() if count > 0), reverse=True))
    shortest = lengths[-1] if lengths else 0
    pooled: dict[tuple[int, int, bool], list[tuple[int, int | None]]] = {}
    for place, s in enumerate(stock):
        if s.quantity != 0 and s.length_mm >= shortest:
            pooled.setdefault((s.length_mm, s.price, s.quantity is None), []).append((place, s.quantity))
    unit = gcd(*(length + kerf_mm for length in lengths)) or 1
    total = sum(pieces[length] for length in lengths)
    bars = []
    for (length_mm, price, endless), places in sorted(pooled.items()):
        if any(
            free and long >= length_mm and (cheap < price or (cheap == price and not endless and long == length_mm))
            for long, cheap, free in pooled
        ):
            continue
        quantity = None if endless else min(total, sum(q or 0 for _, q in places))
        bars.append(Bar((length_mm + kerf_mm) // unit, length_mm, price, quantity, tuple(places)))
    widths = np.array([(length + kerf_mm) // unit for length in lengths], dtype=np.int64)
    demand = np.array([pieces[length] for length in lengths], dtype=np.int64)
    capacity = max((b.capacity for b in bars), default=0)
    most = np.minimum(demand, capacity // np.maximum(widths, 1))
    price_list = tuple(
        sorted(((p, None if endless else sum(q or 0 for _, q in at)) for (_, p, endless), at in pooled.items()), key=repr)
    )
    return Instance(kerf_mm, lengths, widths, demand, most, tuple(bars), price_list)
