"""A second method for very small problems: from the whole sheet down, every cut between every two sets of pieces."""

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import product

from service.engine.cutting.sheet_problem import Rectangle, SheetStock

Set = tuple[int, ...]


def least_cost(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], turning: bool, kerf: int) -> int | None:
    """The least price at which straight cuts get all pieces out of the stock; None when they cannot."""
    sizes = sorted(pieces)

    @cache
    def fits(wanted: Set, width: int, length: int) -> bool:
        if width <= 0 or length <= 0:
            return not any(wanted)
        if sum(wanted) <= 1:
            ways = [way for n, (w, h) in zip(wanted, sizes, strict=True) if n for way in ((w, h), (h, w))[: 1 + turning]]
            return not ways or any(w <= width and h <= length for w, h in ways)
        for part in parts(wanted):
            rest = tuple(n - p for n, p in zip(wanted, part, strict=True))
            at = next((at for at in range(1, width) if fits(part, at, length)), None)
            if at is not None and fits(rest, width - at - kerf, length):
                return True
            at = next((at for at in range(1, length) if fits(part, width, at)), None)
            if at is not None and fits(rest, width, length - at - kerf):
                return True
        return False

    @cache
    def rest(wanted: Set, there: Set) -> int | None:
        if not any(wanted):
            return 0
        first = next(i for i, n in enumerate(wanted) if n)
        costs = []
        for place, sheet in enumerate(stock):
            if not there[place]:
                continue
            less = (*there[:place], there[place] - 1, *there[place + 1 :])
            for taken in (*parts(wanted), wanted):
                if taken[first] and fits(taken, sheet.width, sheet.length):
                    after = rest(tuple(n - t for n, t in zip(wanted, taken, strict=True)), less)
                    if after is not None:
                        costs.append(after + sheet.price)
        return min(costs, default=None)

    total = sum(pieces.values())
    return rest(tuple(pieces[size] for size in sizes), tuple(total if s.quantity is None else s.quantity for s in stock))


def parts(wanted: Set) -> list[Set]:
    """Every true part of a set, but not the empty one."""
    return [part for part in product(*(range(n + 1) for n in wanted)) if any(part) and part != wanted]
