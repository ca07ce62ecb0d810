"""How little any packing could cost: by area, and by strips of which pieces and sheets are thought to be made up.

Cut into strips one step wide, a sheet of width W is W bars of its length and a piece of width w is w pieces of its length. A plan
of sheets is then a plan of bars, so that W times its price is no less than the bars' bound (relaxation to one dimension). The
same across. Pieces that may be turned have no strips of one length, and are bounded by area only.
"""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import reduce
from math import gcd

from service.engine.cutting.bars import bound_bars
from service.engine.cutting.flat_problem import Rectangle, SheetStock
from service.engine.cutting.problem import Stock

STEPS = 3000
"""A bar is measured in about so many steps: finer ones would take longer and prove little more."""


def lower_bound(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], turning: bool, enough: int) -> int:
    """A price that no packing of these pieces undercuts; as soon as one proves `enough`, that one.

    Limited stock counts as if there were no end of it, which only lowers the bound.
    """
    bound = area_bound(pieces, stock)
    for across in (False, True):
        if bound >= enough or turning:
            break
        bound = max(bound, _strips(pieces, stock, across))
    return bound


def area_bound(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock]) -> int:
    """The least price an area unit costs, times the area, rounded up."""
    area = sum(w * h * count for (w, h), count in pieces.items())
    return min((-(-area * s.price // (s.width * s.length)) for s in stock), default=0)


def _strips(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], across: bool) -> int:
    step = reduce(gcd, (size[1 if across else 0] for size in pieces))
    bars: Counter[int] = Counter()
    for (width, length), count in pieces.items():
        along, strips = (width, length) if across else (length, width)
        bars[along] += count * (strips // step)
    most = max((s.length if across else s.width) // step for s in stock)
    sizes: dict[int, int] = {}
    for s in stock:
        along = s.width if across else s.length
        sizes[along] = min(s.price, sizes.get(along, s.price))
    coarse = max(1, max(sizes) // STEPS)  # pieces rounded down and bars up: the bound only sinks
    pieces_down: Counter[int] = Counter()
    for along, count in bars.items():
        if along // coarse:
            pieces_down[along // coarse] += count
    stock_up = [Stock(-(-along // coarse), price) for along, price in sorted(sizes.items()) if price > 0]
    return math.ceil(bound_bars(pieces_down, stock_up) / most)
