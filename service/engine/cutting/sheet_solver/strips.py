"""The most valuable sheet of strips: a sheet is cut from edge to edge into strips, these into columns, these into equal pieces.

Two knapsacks, one in the other. The inner one fills a strip's run with columns, shallow ones first, so that on its way it passes
the best strip of every depth; the outer one fills the sheet with strips. Strips lie across the sheet or along it.
"""

from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance

Ints = NDArray[np.int64]
MOST_IN_A_COLUMN = 8
MOST_CELLS = 6_000_000
GRAINS = (1, 2, 5, 10, 20, 50)
"""Coarser units by which the sizes of sheets can as a rule be divided."""


@dataclass(frozen=True, slots=True)
class Lump:
    """`count` columns of `high` equal pieces each."""

    item: int
    turned: bool
    high: int
    count: int
    depth: int
    span: int


class Strips:
    """Sheets of strips of one direction. Spans and depths are counted in their greatest common units.

    Where that makes tables of more than MOST_CELLS, the units are coarser and sizes count as a little more than they are.
    """

    def __init__(self, instance: SheetInstance, across: bool) -> None:
        self.instance, self.across = instance, across
        for grain in GRAINS:
            self._count(grain)
            if self.cells <= MOST_CELLS:
                break

    def _count(self, grain: int) -> None:
        instance, across = self.instance, self.across
        ways = [
            (length if across else width, width if across else length, item, turned)
            for item, n in enumerate(instance.demand)
            for width, length, turned in (instance.ways(item) if n else ())
        ]
        self._span_unit = grain * gcd(*(span for _, span, _, _ in ways)) or 1
        self._depth_unit = grain * gcd(*(depth for depth, _, _, _ in ways)) or 1
        self.runs = [(s.width if across else s.length) // self._span_unit for s in instance.sheets]
        self.rooms = [(s.length if across else s.width) // self._depth_unit for s in instance.sheets]
        deepest = max((depth for depth, _, _, _ in ways if -(-depth // self._depth_unit) <= max(self.rooms)), default=0)
        self.lumps = sorted(
            (
                lump
                for depth, span, item, turned in ways
                for high in range(1, min(instance.demand[item], deepest // depth, MOST_IN_A_COLUMN) + 1)
                for lump in self._lumps(item, turned, high, depth, span)
            ),
            key=lambda lump: (lump.depth, lump.item, lump.turned, lump.high, lump.count),
        )
        self._depths = sorted({lump.depth for lump in self.lumps if lump.high == 1})

    @property
    def cells(self) -> int:
        """How large the tables are; so that ones that would fill the memory are not begun."""
        return len(self.lumps) * (max(self.runs) + 1) + 3 * len(self._depths) * (max(self.rooms) + 1)

    def best(self, values: Ints) -> list[tuple[int, Block, int]]:
        """(kind of sheet, its most valuable block, that value) at `values[i]` for a piece of the i-th size.

        Where strips together hold more of a size than is wanted, the surplus is left out and the value is still that with it.
        """
        rows, reached = self._fill_runs(values)
        found = []
        for run in sorted(set(self.runs)):
            strips = self._worthwhile(rows, reached, run)
            outer, steps = self._fill_rooms(strips)
            for sheet, room in enumerate(self.rooms):
                if self.runs[sheet] == run and (worth := int(outer[-1][room])) > 0:
                    block = self._block(rows, reached, run, self._chosen(outer, steps, room))
                    found.append((sheet, block, worth))
        return found

    def _lumps(self, item: int, turned: bool, high: int, depth: int, span: int) -> list[Lump]:
        depth_units, span_units = -(-depth // self._depth_unit), -(-span // self._span_unit)
        left = min(self.instance.demand[item] // high, max(self.runs) // span_units)
        lumps, count = [], 1
        while left > 0:
            count = min(count, left)
            lumps.append(Lump(item, turned, high, count, high * depth_units, count * span_units))
            left -= count
            count *= 2
        return lumps

    def _fill_runs(self, values: Ints) -> tuple[list[Ints], dict[int, int]]:
        """(a row for each lump: the most value of a run, ..., how many rows count for each depth of strip)."""
        size = max(self.runs) + 1
        rows = [np.zeros(size, dtype=np.int64)]
        self._used: list[Lump] = []
        reached: dict[int, int] = {}
        place = 0
        for depth in self._depths:
            while place < len(self.lumps) and self.lumps[place].depth <= depth:
                lump = self.lumps[place]
                worth = int(values[lump.item]) * lump.high * lump.count
                if worth > 0 and lump.span < size:
                    row = rows[-1].copy()
                    np.maximum(row[lump.span :], rows[-1][: size - lump.span] + worth, out=row[lump.span :])
                    rows.append(row)
                    self._used.append(lump)
                place += 1
            reached[depth] = len(rows) - 1
        return rows, reached

    def _worthwhile(self, rows: list[Ints], reached: dict[int, int], run: int) -> list[tuple[int, int, int]]:
        """(depth, value, how many at most) of strips worth more than any shallower one.

        Such a strip holds a column of just its depth, so there can be no more of them than there are such columns.
        """
        strips, most_before = [], 0
        for depth in self._depths:
            worth = int(rows[reached[depth]][run])
            if worth > most_before:
                count = sum(self.instance.demand[lump.item] for lump in self.lumps if lump.depth == depth and lump.count == 1)
                strips.append((depth, worth, count))
                most_before = worth
        return strips

    def _fill_rooms(self, strips: list[tuple[int, int, int]]) -> tuple[list[Ints], list[tuple[int, int]]]:
        size = max(self.rooms) + 1
        rows, steps = [np.zeros(size, dtype=np.int64)], []
        for depth, worth, at_most in strips:
            left, count = min(at_most, (size - 1) // depth), 1
            while left > 0:
                count = min(count, left)
                row = rows[-1].copy()
                np.maximum(row[count * depth :], rows[-1][: size - count * depth] + count * worth, out=row[count * depth :])
                rows.append(row)
                steps.append((depth, count))
                left -= count
                count *= 2
        return rows, steps

    def _chosen(self, rows: list[Ints], steps: list[tuple[int, int]], room: int) -> list[int]:
        depths = []
        for k in range(len(steps), 0, -1):
            if rows[k][room] != rows[k - 1][room]:
                depth, count = steps[k - 1]
                depths += [depth] * count
                room -= depth * count
        return depths

    def _block(self, rows: list[Ints], reached: dict[int, int], run: int, depths: list[int]) -> Block:
        left = list(self.instance.demand)
        strips = []
        for depth in depths:
            room, columns = run, []
            for k in range(reached[depth], 0, -1):
                if rows[k][room] != rows[k - 1][room]:
                    lump = self._used[k - 1]
                    room -= lump.span
                    columns += self._columns(lump, left)
            if columns:
                strips.append((beside if self.across else above)(columns))
        return (above if self.across else beside)(strips)

    def _columns(self, lump: Lump, left: list[int]) -> list[Block]:
        """The columns of a lump, as far as their pieces are still wanted."""
        width, length = self.instance.folded[lump.item]
        piece = Block(length, width, lump.item, True) if lump.turned else Block(width, length, lump.item)
        columns = []
        for _ in range(lump.count):
            high = min(lump.high, left[lump.item])
            left[lump.item] -= high
            if high:
                columns.append((above if self.across else beside)([piece] * high))
        return columns


def counts_of(instance: SheetInstance, block: Block) -> Counts:
    """How many pieces of each size a block holds."""
    counts = [0] * len(instance.sizes)
    stack = [block]
    while stack:
        top = stack.pop()
        if top.parts:
            stack += top.parts
        else:
            counts[top.item] += 1
    return tuple(counts)
