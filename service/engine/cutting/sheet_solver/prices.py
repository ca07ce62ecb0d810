"""What sums of sheet prices there can be: a bound may be rounded up to the next of them."""

from fractions import Fraction
from math import ceil, gcd

from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance

LARGEST_SUM_TABLE = 1 << 20


def price_unit(instance: SheetInstance) -> int:
    """What every plan's cost is a multiple of."""
    return gcd(*(s.price for s in instance.sheets)) or 1


def area_bound(instance: SheetInstance, demand: Counts) -> int:
    """The price of the pieces' area alone, kerf included, bought at the best rates first."""
    want = sum(w * h * n for (w, h), n in zip(instance.folded, demand, strict=True))
    cost = Fraction(0)
    for s in sorted(instance.sheets, key=lambda s: Fraction(s.price, s.width * s.length)):
        used = want if s.in_stock is None else min(want, s.in_stock * s.width * s.length)
        cost += Fraction(s.price, s.width * s.length) * used
        want -= used
    return next_sum(instance, ceil(cost))


def next_sum(instance: SheetInstance, bound: int) -> int:
    """The least sum of sheet prices not below `bound`; of large sums, the least multiple of the prices' common unit."""
    priced = [(s.price, s.in_stock) for s in instance.sheets if s.price > 0]
    unit = price_unit(instance)
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
