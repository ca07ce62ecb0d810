"""A second method for very small problems: tries every way of cutting, bar by bar."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from service.engine.cutting.problem import Stock


def least_cost(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int) -> int | None:
    """The least price at which all pieces can be cut; None when they cannot."""
    lengths = tuple(sorted(pieces, reverse=True))

    @cache
    def rest(wanted: tuple[int, ...], bars: tuple[int, ...]) -> int | None:
        if not any(wanted):
            return 0
        first = next(i for i, n in enumerate(wanted) if n)
        best: int | None = None
        for place, there in enumerate(bars):
            if there == 0:
                continue
            for taken in _fillings(lengths, wanted, stock[place].length_mm + kerf_mm, kerf_mm):
                if taken[first] == 0:
                    continue
                left = tuple(n - t for n, t in zip(wanted, taken, strict=True))
                after = rest(left, (*bars[:place], there - 1, *bars[place + 1 :]))
                if after is not None and (best is None or after + stock[place].price < best):
                    best = after + stock[place].price
        return best

    total = sum(pieces.values())
    return rest(tuple(pieces[length] for length in lengths), tuple(total if s.quantity is None else s.quantity for s in stock))


def _fillings(lengths: tuple[int, ...], wanted: tuple[int, ...], room: int, kerf_mm: int) -> Iterator[tuple[int, ...]]:
    if not lengths:
        yield ()
        return
    width = lengths[0] + kerf_mm
    for count in range(min(wanted[0], room // width) + 1):
        for more in _fillings(lengths[1:], wanted[1:], room - count * width, kerf_mm):
            yield (count, *more)
