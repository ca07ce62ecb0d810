"""Every set of pieces that straight cuts can get out of one sheet, whatever the number of stages.

A set fits if it is one piece, or if it parts into two sets that fit side by side or one above the other. For each set the
smallest boxes that hold it are kept, none of which is inside another. What is part of a set that fits fits too, so sets
grow a piece at a time.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance

MOST_SETS = 20_000
MOST_WORK = 1_500_000
"""Pairs of boxes put together, at most: about a second."""


@dataclass(frozen=True, slots=True)
class Box:
    """`width` by `length`, made of boxes of two sets (`first`, `second`: set and place in its list), or one piece."""

    width: int
    length: int
    beside: bool = False
    first: tuple[int, int] = (-1, -1)
    second: tuple[int, int] = (-1, -1)
    turned: bool = False


class FittingSets:
    """`boxes[key]` of each set; a key counts the pieces in mixed radix, so that keys of disjoint sets add up."""

    def __init__(self, instance: SheetInstance) -> None:
        self.instance = instance
        self.boxes: dict[int, list[Box]] = {}
        self.radix: list[int] = []
        radix = 1
        for n in instance.demand:
            self.radix.append(radix)
            radix *= n + 1
        self._largest = _not_inside([(s.width, s.length) for s in instance.sheets])
        self._room = max(s.width * s.length for s in instance.sheets)
        self._work = 0

    def list_all(self, most_sets: int = MOST_SETS, most_work: int = MOST_WORK) -> bool:
        """False when a limit stopped it."""
        level = []
        for item, key in enumerate(self.radix):
            ways = [Box(w, h, turned=turned) for w, h, turned in self.instance.ways(item) if self._fits(w, h)]
            self.boxes[key] = _smallest(ways)
            level.append((key, {item: 1}, _area(self.instance, item)))
        while level:
            larger = []
            for key, counts, area in level:
                for item in range(max(counts), len(self.radix)):
                    if counts.get(item, 0) == self.instance.demand[item]:
                        continue
                    more = counts | {item: counts.get(item, 0) + 1}
                    whole = area + _area(self.instance, item)
                    grown = key + self.radix[item]
                    if whole > self._room or any(grown - self.radix[i] not in self.boxes for i in more):
                        continue
                    boxes = self._boxes_of(grown, more)
                    if boxes:
                        self.boxes[grown] = boxes
                        larger.append((grown, more, whole))
                    if len(self.boxes) > most_sets or self._work > most_work:
                        return False
            level = larger
        return True

    def counts(self, key: int) -> Counts:
        return tuple(key // radix % (n + 1) for radix, n in zip(self.radix, self.instance.demand, strict=True))

    def key(self, counts: Counts) -> int:
        return sum(n * radix for n, radix in zip(counts, self.radix, strict=True))

    def place_on(self, key: int, sheet: int) -> int:
        """The first box of the set that the sheet holds; -1 when it holds none."""
        s = self.instance.sheets[sheet]
        return next((n for n, b in enumerate(self.boxes.get(key, ())) if b.width <= s.width and b.length <= s.length), -1)

    def block(self, key: int, place: int) -> Block:
        box = self.boxes[key][place]
        if box.first[0] < 0:
            return Block(box.width, box.length, self.radix.index(key), box.turned)
        parts = [*self._row(box.first, box.beside), *self._row(box.second, box.beside)]
        return (beside if box.beside else above)(parts)

    def _row(self, of: tuple[int, int], is_beside: bool) -> tuple[Block, ...]:
        """Parts of a part that is cut the same way are parts of the whole."""
        block = self.block(*of)
        return block.parts if block.parts and block.beside == is_beside else (block,)

    def _boxes_of(self, key: int, counts: dict[int, int]) -> list[Box]:
        found: list[Box] = []
        for part in self._parts(counts):
            rest = key - part
            if part > rest:
                continue
            ones, others = self.boxes[part], self.boxes[rest]
            self._work += len(ones) * len(others)
            for m, one in enumerate(ones):
                for n, other in enumerate(others):
                    width, length = one.width + other.width, max(one.length, other.length)
                    if self._fits(width, length):
                        found.append(Box(width, length, True, (part, m), (rest, n)))
                    width, length = max(one.width, other.width), one.length + other.length
                    if self._fits(width, length):
                        found.append(Box(width, length, False, (part, m), (rest, n)))
        return _smallest(found)

    def _parts(self, counts: dict[int, int]) -> Iterator[int]:
        """Keys of all true parts of a set."""
        keys = [0]
        for item, n in counts.items():
            keys = [key + k * self.radix[item] for key in keys for k in range(n + 1)]
        return iter(keys[1:-1])

    def _fits(self, width: int, length: int) -> bool:
        return any(width <= w and length <= h for w, h in self._largest)


def _area(instance: SheetInstance, item: int) -> int:
    width, length = instance.folded[item]
    return width * length


def _smallest(boxes: list[Box]) -> list[Box]:
    """Those that hold no other."""
    kept: list[Box] = []
    for box in sorted(boxes, key=lambda b: (b.width, b.length)):
        if not kept or box.length < kept[-1].length:
            kept.append(box)
    return kept


def _not_inside(sizes: list[tuple[int, int]]) -> list[tuple[int, int]]:
    kept: list[tuple[int, int]] = []
    for width, length in sorted(set(sizes), reverse=True):
        if not kept or length > kept[-1][1]:
            kept.append((width, length))
    return kept
