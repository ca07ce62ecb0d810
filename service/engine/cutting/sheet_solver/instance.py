"""The flat problem as the solver sees it: one canonical form, whatever order it was given in, the kerf added to each size."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from service.engine.cutting.sheet_problem import Rectangle, SheetStock
from service.engine.cutting.sheet_solver.block import Block

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet, kerf included. `places`: where it stands in the stock as given, and how many there are of each.

    `quantity`: how many can be of use, None when there is no limit.
    """

    width: int
    length: int
    price: int
    quantity: int | None
    places: tuple[tuple[int, int | None], ...]

    @property
    def in_stock(self) -> int | None:
        """How many there are, of use or not."""
        return None if self.quantity is None else sum(n or 0 for _, n in self.places)


@dataclass(frozen=True, slots=True)
class Take:
    """`copies` sheets of one kind, cut alike into `block`; `counts[i]` pieces of the i-th size in each."""

    sheet: int
    block: Block = field(compare=False)
    counts: Counts
    copies: int


@dataclass(frozen=True, eq=False)
class SheetInstance:
    """`sizes[i]`: (width, length) as asked for; `folded[i]` the same with the kerf; `demand[i]` how many. Longest first."""

    kerf: int
    turning: bool
    sizes: tuple[Rectangle, ...]
    folded: tuple[Rectangle, ...]
    demand: Counts
    sheets: tuple[Sheet, ...]

    def ways(self, item: int) -> tuple[tuple[int, int, bool], ...]:
        """(width, length, turned) in which a piece may lie."""
        width, length = self.folded[item]
        if self.turning and width != length:
            return ((width, length, False), (length, width, True))
        return ((width, length, False),)

    def fits(self, item: int, sheet: int) -> bool:
        s = self.sheets[sheet]
        return any(w <= s.width and h <= s.length for w, h, _ in self.ways(item))

    @cached_property
    def unlimited(self) -> list[int]:
        return [k for k, s in enumerate(self.sheets) if s.quantity is None]

    @cached_property
    def limited(self) -> list[int]:
        return [k for k, s in enumerate(self.sheets) if s.quantity is not None]

    @cached_property
    def price_list(self) -> list[tuple[int, int | None]]:
        """Price of each kind of sheet, and how many there are."""
        return [(s.price, s.in_stock) for s in self.sheets]

    def cost(self, takes: Sequence[Take]) -> int:
        return sum(self.sheets[t.sheet].price * t.copies for t in takes)

    def area(self, takes: Sequence[Take]) -> int:
        return sum(self.sheets[t.sheet].width * self.sheets[t.sheet].length * t.copies for t in takes)


def canonical(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], turning: bool, kerf: int) -> SheetInstance:
    """Every piece must fit some sheet. Sheets that hold no piece, or that a larger and no dearer one replaces, are left out."""
    sizes = tuple(sorted((size for size, count in pieces.items() if count > 0), key=lambda s: (-s[1], -s[0])))
    total = sum(pieces[size] for size in sizes)
    pooled: dict[tuple[int, int, int, bool], list[tuple[int, int | None]]] = {}
    for place, s in enumerate(stock):
        if s.quantity != 0 and any(holds(s, size, turning) for size in sizes):
            pooled.setdefault((s.width, s.length, s.price, s.quantity is None), []).append((place, s.quantity))
    sheets = []
    for (width, length, price, endless), places in sorted(pooled.items()):
        replaced = any(
            free and w >= width and h >= length and (cheap < price or (not endless and (w, h, cheap) == (width, length, price)))
            for w, h, cheap, free in pooled
        )
        if not replaced:
            quantity = None if endless else min(total, sum(q or 0 for _, q in places))
            sheets.append(Sheet(width + kerf, length + kerf, price, quantity, tuple(places)))
    folded = tuple((w + kerf, h + kerf) for w, h in sizes)
    return SheetInstance(kerf, turning, sizes, folded, tuple(pieces[s] for s in sizes), tuple(sheets))


def holds(sheet: SheetStock, size: Rectangle, turning: bool) -> bool:
    width, length = size
    straight = width <= sheet.width and length <= sheet.length
    return straight or (turning and length <= sheet.width and width <= sheet.length)
