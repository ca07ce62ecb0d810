"""Plans at once, whatever else fails: sheets filled shelf by shelf, in several orders and both directions; the cheapest is kept.

A sheet is cut into shelves from edge to edge, a shelf into columns, a column into equal pieces. Equal sheets are filled once and
repeated, so that the work depends on how many sizes there are and not on how many pieces.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take


@dataclass(frozen=True, slots=True)
class Way:
    """A piece lying one way: `depth` is what it takes of a shelf's depth, `span` what it takes of its run."""

    item: int
    turned: bool
    depth: int
    span: int


ORDERS: tuple[Callable[[Way], tuple[int, ...]], ...] = (
    lambda way: (-way.depth, -way.span, way.item),
    lambda way: (-way.span, -way.depth, way.item),
    lambda way: (-way.depth * way.span, -way.depth, way.item),
)

MANY_SIZES = 200
"""From here on fewer variants are tried."""


def shelf_plan(
    instance: SheetInstance, demand: Counts, stock_left: Sequence[int | None], enough: int = 0
) -> tuple[list[Take], Counts]:
    """The best of all variants: (sheets, pieces for which stock ran out: all 0 as a rule).

    Fewest pieces left out counts first, then price, then area. Tries no more once nothing is left out at the price `enough`.
    """
    best: tuple[tuple[int, int, int, int], list[Take], Counts] | None = None
    is_large = len(instance.sizes) >= MANY_SIZES and len(instance.unlimited) > 0
    mains = instance.unlimited if is_large or len(instance.unlimited) == 1 else (*instance.unlimited, None)
    for across in (True, False):
        for order in ORDERS[:1] if is_large else ORDERS:
            ways = _ways(instance, demand, across, order)
            for main in mains:
                takes, left = _plan(instance, demand, stock_left, across, ways, main)
                missing = sum(n * w * h for n, (w, h) in zip(left, instance.sizes, strict=True))
                score = (missing, instance.cost(takes), instance.area(takes), len(takes))
                if best is None or score < best[0]:
                    best = (score, takes, left)
                if best[0][0] == 0 and best[0][1] <= enough:
                    return best[1], best[2]
    assert best is not None
    return best[1], best[2]


def _ways(instance: SheetInstance, demand: Counts, across: bool, order: Callable[[Way], tuple[int, ...]]) -> list[Way]:
    ways = [
        Way(item, turned, length if across else width, width if across else length)
        for item, n in enumerate(demand)
        for width, length, turned in (instance.ways(item) if n else ())
    ]
    return sorted(ways, key=order)


def _plan(
    instance: SheetInstance,
    demand: Counts,
    stock_left: Sequence[int | None],
    across: bool,
    ways: Sequence[Way],
    main: int | None,
) -> tuple[list[Take], Counts]:
    """Limited sheets first; then `main` while it holds anything, or without one the sheet whose filling costs least an area."""
    left = list(demand)
    stock = list(stock_left)
    takes: list[Take] = []

    def take(sheet: int, block: Block, counts: Counts) -> None:
        copies = min(n // c for n, c in zip(left, counts, strict=True) if c)
        there = stock[sheet]
        if there is not None:
            copies = min(copies, there)
            stock[sheet] = there - copies
        takes.append(Take(sheet, block, counts, copies))
        for i, c in enumerate(counts):
            left[i] -= c * copies

    by_rate = sorted(instance.limited, key=lambda k: (instance.sheets[k].price / _area(instance, k), -_area(instance, k), k))
    for sheet in by_rate:
        while stock[sheet] and (filled := _fill(instance, left, sheet, across, ways)):
            take(sheet, *filled)
    while any(left):
        choices = [main] if main is not None and any(n and instance.fits(i, main) for i, n in enumerate(left)) else None
        found = [(k, *filled) for k in choices or instance.unlimited if (filled := _fill(instance, left, k, across, ways))]
        if not found:
            break
        sheet, block, counts = found[0]
        if len(found) > 1:
            sheet, block, counts = min(found, key=lambda f: (_rate(instance, f[0], f[2]), -_area(instance, f[0]), f[0]))
        take(_smallest(instance, block, sheet), block, counts)
    return takes, tuple(left)


def _area(instance: SheetInstance, sheet: int) -> int:
    return instance.sheets[sheet].width * instance.sheets[sheet].length


def _rate(instance: SheetInstance, sheet: int, counts: Counts) -> float:
    held = sum(n * w * h for n, (w, h) in zip(counts, instance.sizes, strict=True))
    return instance.sheets[sheet].price / held


def _smallest(instance: SheetInstance, block: Block, sheet: int) -> int:
    """The cheapest unlimited sheet that holds the block, the smallest of equally cheap ones."""
    sheets = instance.sheets
    holding = [k for k in instance.unlimited if block.width <= sheets[k].width and block.length <= sheets[k].length]
    return min(holding, key=lambda k: (instance.sheets[k].price, _area(instance, k), k), default=sheet)


def _fill(
    instance: SheetInstance, left: Sequence[int], sheet: int, across: bool, ways: Sequence[Way]
) -> tuple[Block, Counts] | None:
    """One sheet filled with what is left; None when it holds nothing of it."""
    s = instance.sheets[sheet]
    room, run = (s.length, s.width) if across else (s.width, s.length)
    there = list(left)
    shelves: list[Block] = []
    for first in ways:
        while there[first.item] and first.depth <= room and first.span <= run:
            shelves.append(_shelf(there, first, run, across, ways))
            room -= first.depth
    if not shelves:
        return None
    counts = tuple(before - after for before, after in zip(left, there, strict=True))
    return (above(shelves) if across else beside(shelves)), counts


def _shelf(there: list[int], first: Way, run: int, across: bool, ways: Sequence[Way]) -> Block:
    """A shelf as deep as its first piece; takes what it holds from `there`."""
    depth, columns = first.depth, []
    for way in (first, *ways):
        while there[way.item] and way.depth <= depth and way.span <= run:
            high = min(there[way.item], depth // way.depth)
            width, length = (way.span, way.depth) if across else (way.depth, way.span)
            piece = Block(width, length, way.item, way.turned)
            columns.append((above if across else beside)([piece] * high))
            there[way.item] -= high
            run -= way.span
    return beside(columns) if across else above(columns)
