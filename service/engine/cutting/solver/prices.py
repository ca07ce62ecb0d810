"""What prices alone say of plans, of bars and of sheets: what all costs are multiples of, and which sums there can be."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil, gcd

LARGEST_SUM_TABLE = 1 << 20

Priced = tuple[int, int | None]
"""A price, and how many there are at it; None: no end of them."""


def price_unit(price_list: Iterable[Priced]) -> int:
    """What every plan's cost is a multiple of."""
    return gcd(*(price for price, _ in price_list)) or 1


def next_sum(price_list: Sequence[Priced], bound: int) -> int:
    """The least sum of prices not below `bound`; of large sums, the least multiple of the prices' common unit."""
    priced = [(price, quantity) for price, quantity in price_list if price > 0]
    unit = price_unit(price_list)
    floor = max(0, -(-bound // unit))
    top = floor + max((price // unit for price, _ in priced), default=0)
    if not priced or top > LARGEST_SUM_TABLE:
        return floor * unit
    mask = (1 << top + 1) - 1
    payable = 1  # bit s: whether s units can be paid
    for price, quantity in priced:
        step = price // unit
        copies = top // step if quantity is None else min(quantity, top // step)
        lump = 1
        while copies > 0:
            lump = min(lump, copies)
            payable |= payable << lump * step & mask
            copies -= lump
            lump *= 2
    reached = payable >> floor
    return (floor + (reached & -reached).bit_length() - 1) * unit if reached else floor * unit


def at_best_rates(want: int, offers: Iterable[tuple[int, int, int | None]]) -> int:
    """What so much length or area costs, were it bought by the measure, the cheapest first: (price, measure, how many)."""
    cost = Fraction(0)
    for price, measure, there in sorted(offers, key=lambda offer: Fraction(offer[0], offer[1])):
        used = want if there is None else min(want, there * measure)
        cost += Fraction(price, measure) * used
        want -= used
    return ceil(cost)
