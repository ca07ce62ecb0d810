"""In which order bars are cut."""

from collections import defaultdict, deque
from collections.abc import Iterable
from itertools import groupby
from typing import NamedTuple


class Shape(NamedTuple):
    """Bars that are cut alike: `cuts` in mm, longest first."""

    from_offcuts: bool
    stock_mm: int
    cuts: tuple[int, ...]
    sku: str


def in_working_order(shapes: Iterable[Shape]) -> list[Shape]:
    """Whole bars before offcuts, longer stock before shorter; and of each stock length so that the stop is moved least.

    Every bar is cut longest piece first, so a shape takes the stop from its longest cut down to its shortest. Where a shape
    begins where the stop stands, it is next; else the one with the longest cuts. That is the fewest moves there can be: as shapes
    only lead downwards, every one that ends at some length is cut before one that begins there is taken for want of a better,
    so at each length as many ends are followed by beginnings as there are of the scarcer.
    """
    by_stock = sorted(set(shapes), key=_place)
    return [s for _, alike in groupby(by_stock, key=lambda s: (s.from_offcuts, s.stock_mm)) for s in _least_moves(list(alike))]


def _place(shape: Shape) -> tuple[bool, int, tuple[int, ...], str]:
    return shape.from_offcuts, -shape.stock_mm, tuple(-cut for cut in shape.cuts), shape.sku


def _least_moves(shapes: list[Shape]) -> list[Shape]:
    """`shapes`: longest cuts first, so that those of one length alone come before others that begin with it."""
    beginning: dict[int, deque[Shape]] = defaultdict(deque)
    for shape in shapes:
        beginning[shape.cuts[0]].append(shape)
    ordered: list[Shape] = []
    for length in sorted(beginning, reverse=True):
        while beginning[length]:
            stop = length
            while beginning.get(stop):
                ordered.append(beginning[stop].popleft())
                stop = ordered[-1].cuts[-1]
    return ordered
