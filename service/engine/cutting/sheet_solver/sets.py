"""Every set of pieces that straight cuts can get out of one sheet, whatever the number of stages.

A set fits if it is one piece, or if it parts into two sets that fit side by side or one above the other. For each set the
smallest boxes that hold it are kept, none of which is inside another. What is part of a set that fits fits too, so sets
grow a piece at a time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take

Ints = NDArray[np.int64]
Box = tuple[int, int]
"""(width, length)."""


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
        self._widest = max(width for width, _ in self._largest)
        self._longest = max(length for _, length in self._largest)
        self._room = max(width * length for width, length in self._largest)
        self._work = 0
        self._members: list[tuple[int, dict[int, int]]] = []
        self._growth = self._grown()

    def list_all(self, most_sets: int, most_work: int) -> bool:
        """False when a limit on sets, or on pairs of boxes put together, stopped it; a later call goes on from there."""
        while len(self.boxes) <= most_sets and self._work <= most_work:
            if next(self._growth, None) is None:
                return True
        return False

    def _grown(self) -> Iterator[int]:
        """Adds sets one after the other, smaller ones first; the key of each."""
        boxes, radix, demand = self.boxes, self.radix, self.instance.demand
        areas = [width * length for width, length in self.instance.folded]
        level = []
        for item, key in enumerate(radix):
            if demand[item]:
                boxes[key] = self._smallest([(w, h) for w, h, _ in self.instance.ways(item)])
                self._members.append((key, {item: 1}))
                level.append((key, {item: 1}, areas[item], item))
        while level:
            larger = []
            for key, counts, area, last in level:
                for item in range(last, len(radix)):
                    n = counts.get(item, 0)
                    grown = key + radix[item]
                    whole = area + areas[item]
                    if n == demand[item] or whole > self._room or any(grown - radix[i] not in boxes for i in counts):
                        continue
                    more = counts | {item: n + 1}
                    found = self._smallest(self._joined(grown, more))
                    if found:
                        boxes[grown] = found
                        self._members.append((grown, more))
                        larger.append((grown, more, whole, item))
                    yield grown
            level = larger

    def listed(self, only_full: bool) -> "Listed":
        """The sets as patterns, on the sheets that `on_sheets` names."""
        rows = [(counts, sheet) for _, counts, sheet in self.on_sheets(only_full)]
        matrix = np.zeros((len(rows), len(self.radix)), dtype=np.int64)
        for row, (counts, _) in enumerate(rows):
            matrix[row, list(counts)] = list(counts.values())
        return Listed(self, np.array([sheet for _, sheet in rows], dtype=np.int64), matrix)

    def on_sheets(self, only_full: bool) -> Iterator[tuple[int, dict[int, int], int]]:
        """(key, pieces, sheet): each set on the cheapest sheet that holds it and on those of limited number that are cheaper.

        `only_full`: without those to which a piece can be added on no dearer a sheet; a plan that may cut more than is wanted
        needs no others.
        """
        sheets, unlimited = self.instance.sheets, self.instance.unlimited
        by_price = sorted(unlimited, key=lambda k: (sheets[k].price, sheets[k].width * sheets[k].length, k))
        rank = {key: next((n for n, k in enumerate(by_price) if self._holds(key, k)), len(by_price)) for key in self.boxes}
        wanted = [(i, radix, n) for i, (radix, n) in enumerate(zip(self.radix, self.instance.demand, strict=True)) if n]
        for key, counts in self._members:
            larger = []
            if only_full:
                grown = (key + radix for item, radix, n in wanted if counts.get(item, 0) < n)
                larger = [other for other in grown if other in self.boxes]
            best = by_price[rank[key]] if rank[key] < len(by_price) else None
            if best is not None and all(rank[other] > rank[key] for other in larger):
                yield key, counts, best
            for k in self.instance.limited:
                cheaper = best is None or sheets[k].price < sheets[best].price
                if cheaper and self._holds(key, k) and not any(self._holds(other, k) for other in larger):
                    yield key, counts, k

    def fullest(self, areas: Sequence[int], sheet: int, other: int) -> Counts | None:
        """The set of greatest area that fits `sheet` while all other pieces fit `other`; of equals the first found."""
        whole = sum(n * radix for n, radix in zip(self.instance.demand, self.radix, strict=True))
        best: tuple[int, int] | None = None
        for key, counts in self._members:
            area = sum(n * areas[item] for item, n in counts.items())
            if (best is None or area > best[0]) and self._holds(key, sheet) and self._holds(whole - key, other):
                best = area, key
        return None if best is None else self.counts(best[1])

    def counts(self, key: int) -> Counts:
        return tuple(key // radix % (n + 1) for radix, n in zip(self.radix, self.instance.demand, strict=True))

    def block(self, counts: Counts, sheet: int) -> Block:
        """How a set that fits is cut from a sheet: the first box that the sheet holds, and the first way found to make it."""
        s = self.instance.sheets[sheet]
        key = sum(n * radix for n, radix in zip(counts, self.radix, strict=True))
        return self._made(key, next(b for b in self.boxes[key] if b[0] <= s.width and b[1] <= s.length))

    def _holds(self, key: int, sheet: int) -> bool:
        s = self.instance.sheets[sheet]
        return any(width <= s.width and length <= s.length for width, length in self.boxes.get(key, ((0, 0),) if not key else ()))

    def _made(self, key: int, box: Box) -> Block:
        counts = {item: n for item, n in enumerate(self.counts(key)) if n}
        width, length = box
        if sum(counts.values()) == 1:
            (item,) = counts
            return next(Block(w, h, item, turned) for w, h, turned in self.instance.ways(item) if (w, h) == box)
        for part in self._parts(counts):
            for one in self.boxes[part]:
                for other in self.boxes[key - part]:
                    for is_beside in (False, True):
                        w = one[0] + other[0] if is_beside else max(one[0], other[0])
                        h = max(one[1], other[1]) if is_beside else one[1] + other[1]
                        if (w, h) == (width, length):
                            parts = [*_row(self._made(part, one), is_beside), *_row(self._made(key - part, other), is_beside)]
                            return (beside if is_beside else above)(parts)
        raise AssertionError("a box is made of boxes of two parts")

    def _joined(self, key: int, counts: dict[int, int]) -> list[Box]:
        """Every box that two parts make, side by side and one above the other."""
        boxes, widest, longest = self.boxes, self._widest, self._longest
        found = []
        for part in self._parts(counts):
            rest = key - part
            if part > rest:
                continue
            ones, others = boxes[part], boxes[rest]
            self._work += len(ones) * len(others)
            for w, h in ones:
                for v, k in others:
                    if w + v <= widest:
                        found.append((w + v, h if h > k else k))
                    if h + k <= longest:
                        found.append((w if w > v else v, h + k))
        return found

    def _parts(self, counts: dict[int, int]) -> Iterator[int]:
        """Keys of all true parts of a set."""
        keys = [0]
        for item, n in counts.items():
            radix = self.radix[item]
            keys = [key + k for k in range(0, (n + 1) * radix, radix) for key in keys]
        return iter(keys[1:-1])

    def _smallest(self, boxes: list[Box]) -> list[Box]:
        """Those that fit some sheet and hold no other."""
        kept: list[Box] = []
        for box in sorted(boxes):
            if (not kept or box[1] < kept[-1][1]) and any(box[0] <= w and box[1] <= h for w, h in self._largest):
                kept.append(box)
        return kept


@dataclass(frozen=True, eq=False)
class Listed:
    """Patterns from sets: the kind of sheet of each, and how many pieces of each size (patterns by sizes)."""

    sets: FittingSets
    sheet: Ints
    counts: Ints

    def block(self, row: int) -> Block:
        return self.sets.block(tuple(self.counts[row].tolist()), int(self.sheet[row]))

    def take(self, row: int, copies: int) -> Take:
        return Take(int(self.sheet[row]), self.block(row), tuple(self.counts[row].tolist()), copies)


def _row(block: Block, is_beside: bool) -> tuple[Block, ...]:
    """Parts of a part that is cut the same way are parts of the whole."""
    return block.parts if block.parts and block.beside == is_beside else (block,)


def _not_inside(sizes: list[Box]) -> list[Box]:
    kept: list[Box] = []
    for width, length in sorted(set(sizes), reverse=True):
        if not kept or length > kept[-1][1]:
            kept.append((width, length))
    return kept
