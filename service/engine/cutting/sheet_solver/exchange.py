"""A plan of shelves bettered by exchange: pieces change places in the order in which shelves are filled, as long as it pays.

A shelf runs from edge to edge and is as deep as its first piece; it holds columns, and a column pieces one upon another, of
whatever size still goes in. Shelves then go into sheets by first fit, deepest first. What is looked for is the order of pieces:
two of them change places, or one is turned, and the new order is kept where it is no worse. The choices come from a generator
that always starts alike, so equal problems have equal plans.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take
from service.engine.cutting.sheet_solver.shelves import ORDERS, Way

MOST_PIECES = 600

LYING: tuple[Callable[[Way], int], ...] = (lambda way: way.turned, lambda way: way.depth, lambda way: way.span)
"""How pieces that may be turned lie to begin with: as they are, in shallow shelves, in deep ones."""

Shelf = tuple[int, list[list[Way]]]
"""Its depth, and its columns."""


def exchange(instance: SheetInstance, best: Incumbent, enough: int, work: int) -> None:
    """Plans anew what the incumbent does not take from limited stock, and offers what is cheaper; ends at the price `enough`.

    `work`: rounds times pieces.
    """
    limited = [take for take in best.takes if instance.sheets[take.sheet].quantity is not None]
    rest = tuple(n - sum(t.counts[i] * t.copies for t in limited) for i, n in enumerate(instance.demand))
    if not 1 < sum(rest) <= MOST_PIECES:
        return
    benches = list(_benches(instance, rest))
    for bench in benches:
        found = bench.search(rest, best.cost - instance.cost(limited), enough - instance.cost(limited), work // len(benches))
        if found is not None:
            best.offer([*limited, *found])


@dataclass(frozen=True, slots=True)
class _Bench:
    """Sheets of one run: shelves lie across them, or along. `kinds`: depth, price and number of each sheet, the deepest last."""

    instance: SheetInstance
    across: bool
    run: int
    kinds: tuple[tuple[int, int, int], ...]

    def search(self, demand: Counts, cost: int, enough: int, work: int) -> list[Take] | None:
        """The best plan that costs less than `cost`, None without one."""
        starts = [
            sorted((way for i, n in enumerate(demand) if n for way in [min(self.ways(i), key=lying)] * n), key=order)
            for lying in LYING
            for order in ORDERS
        ]
        order = min(starts, key=self._score)
        score = self._score(order)
        draw = Draw()
        for _ in range(work // len(order)):
            if score[0] <= enough:
                break
            other = self._changed(order, draw)
            other_score = self._score(other)
            if other_score <= score:
                order, score = other, other_score
        return self._takes(order) if score[0] < cost else None

    def ways(self, item: int) -> list[Way]:
        """In which a piece has room."""
        deepest, found = self.kinds[-1][0], []
        for width, length, turned in self.instance.ways(item):
            depth, span = (length, width) if self.across else (width, length)
            if span <= self.run and depth <= deepest:
                found.append(Way(item, turned, depth, span))
        return found

    def _changed(self, order: Sequence[Way], draw: "Draw") -> list[Way]:
        changed = list(order)
        for _ in range((1, 1, 2, 3)[draw.below(4)]):
            i, j = draw.below(len(changed)), draw.below(len(changed))
            changed[i], changed[j] = changed[j], changed[i]
        if self.instance.turning and draw.below(3) == 0:
            i = draw.below(len(changed))
            way = changed[i]
            changed[i] = next((other for other in self.ways(way.item) if other.turned is not way.turned), way)
        return changed

    def _score(self, order: Sequence[Way]) -> tuple[int, int]:
        """Price, then how deep all shelves are together."""
        depths = sorted((depth for depth, _ in _shelves(order, self.run)), reverse=True)
        return sum(self._kind(fill)[1] for fill in self._filled(depths)[0]), sum(depths)

    def _filled(self, depths: Sequence[int]) -> tuple[list[int], list[int]]:
        """First fit into sheets of the deepest kind: how far each is filled, and the sheet into which each shelf goes."""
        deepest, fills, homes = self.kinds[-1][0], list[int](), list[int]()
        for depth in depths:
            for k, fill in enumerate(fills):
                if fill + depth <= deepest:
                    fills[k] = fill + depth
                    homes.append(k)
                    break
            else:
                homes.append(len(fills))
                fills.append(depth)
        return fills, homes

    def _kind(self, fill: int) -> tuple[int, int, int]:
        return min((kind for kind in self.kinds if kind[0] >= fill), key=lambda kind: (kind[1], kind[0]))

    def _takes(self, order: Sequence[Way]) -> list[Take]:
        shelves = sorted(_shelves(order, self.run), key=lambda shelf: -shelf[0])
        fills, homes = self._filled([depth for depth, _ in shelves])
        sheets: list[list[Shelf]] = [[] for _ in fills]
        for shelf, home in zip(shelves, homes, strict=True):
            sheets[home].append(shelf)
        takes: dict[tuple[int, Counts], Take] = {}
        for sheet in sheets:
            take = self._take(sheet)
            known = takes.get((take.sheet, take.counts))
            copies = 1 if known is None else known.copies + 1
            takes[take.sheet, take.counts] = Take(take.sheet, take.block, take.counts, copies)
        return list(takes.values())

    def _take(self, shelves: Sequence[Shelf]) -> Take:
        counts = [0] * len(self.instance.demand)
        for _, columns in shelves:
            for column in columns:
                for way in column:
                    counts[way.item] += 1
        kind = self._kind(sum(depth for depth, _ in shelves))[2]
        side_by_side, stacked = (beside, above) if self.across else (above, beside)
        rows = [side_by_side([stacked([self._piece(way) for way in column]) for column in columns]) for _, columns in shelves]
        return Take(kind, stacked(rows), tuple(counts), 1)

    def _piece(self, way: Way) -> Block:
        width, length = (way.span, way.depth) if self.across else (way.depth, way.span)
        return Block(width, length, way.item, way.turned)


class Draw:
    """Numbers that look drawn by lot and are the same each time: the minimal standard generator.

    Source: Park and Miller, Random number generators: good ones are hard to find, CACM 31 (1988); multiplier 16807.
    """

    def __init__(self) -> None:
        self.state = 1

    def below(self, end: int) -> int:
        self.state = self.state * 16807 % (2**31 - 1)
        return self.state * end // (2**31 - 1)


def _benches(instance: SheetInstance, demand: Counts) -> Iterator[_Bench]:
    """Each direction with each run of unlimited sheets on which every piece has room."""
    wanted = [i for i, n in enumerate(demand) if n]
    for across in (True, False):
        kinds: dict[int, list[tuple[int, int, int]]] = {}
        for k in instance.unlimited:
            sheet = instance.sheets[k]
            run, depth = (sheet.width, sheet.length) if across else (sheet.length, sheet.width)
            kinds.setdefault(run, []).append((depth, sheet.price, k))
        for run, of_run in sorted(kinds.items()):
            bench = _Bench(instance, across, run, tuple(sorted(of_run)))
            if all(bench.ways(i) for i in wanted):
                yield bench


def _shelves(order: Sequence[Way], run: int) -> list[Shelf]:
    """Filled in this order: each shelf begins with the first piece left, each column with the next that goes in beside it."""
    left = list(order)
    shelves: list[Shelf] = []
    while left:
        depth, space, columns = left[0].depth, run, list[list[Way]]()
        i = 0
        while i < len(left):
            way = left[i]
            if way.depth > depth or way.span > space:
                i += 1
                continue
            del left[i]
            space -= way.span
            column, room, j = [way], depth - way.depth, i
            while room and j < len(left):
                if left[j].depth <= room and left[j].span <= way.span:
                    room -= left[j].depth
                    column.append(left.pop(j))
                else:
                    j += 1
            columns.append(column)
        shelves.append((depth, columns))
    return shelves
