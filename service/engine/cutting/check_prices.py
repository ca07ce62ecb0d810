"""What prices alone say of a bound. For the checkers: the solvers work it out in a way of their own."""

from collections.abc import Iterable
from fractions import Fraction
from math import ceil, gcd

LARGEST_SUM_TABLE = 1 << 20


def bought_by_measure(want: int, offers: Iterable[tuple[int, int, int | None]]) -> int:
    """What `want` costs, were stock bought by its measure, length or area, at the best rates first.

    Each offer: (price, measure of one, how many there are; None: no end of them).
    """
    cost = Fraction(0)
    for price, measure, quantity in sorted(offers, key=lambda offer: Fraction(offer[0], offer[1])):
        taken = want if quantity is None else min(want, quantity * measure)
        cost += Fraction(price, measure) * taken
        want -= taken
    return ceil(cost)


def least_payable(bound: int, prices: Iterable[tuple[int, int | None]]) -> int:
    """The least sum of prices that is not below `bound`: what a plan costs is always such a sum. Each price with how many there
    are of it. Of sums too large to list, the least multiple of what all prices are multiples of.
    """
    priced = [(price, quantity) for price, quantity in prices if price > 0]
    unit = gcd(*(price for price, _ in priced)) or 1
    floor = max(0, -(-bound // unit))
    dearest = max((price // unit for price, _ in priced), default=0)
    if not priced or floor + dearest > LARGEST_SUM_TABLE:
        return floor * unit
    mask = (1 << (floor + dearest + 1)) - 1
    sums = 1  # bit s is set when s units can be paid
    for price, quantity in priced:
        many, step, units = (floor + dearest) // (price // unit) + 1, 1, price // unit
        many = many if quantity is None else min(many, quantity)
        while many > 0:
            take = min(step, many)
            sums |= (sums << (take * units)) & mask
            many -= take
            step *= 2
    reached = sums >> floor
    return (floor + (reached & -reached).bit_length() - 1) * unit if reached else floor * unit
