"""Blocks: pieces joined by straight cuts, whatever the number of stages, and how a block is laid on a sheet and cut out of it.

Sizes here carry the saw's kerf on their right and upper side, pieces and sheets alike: then parts simply add up, and a cut whose
kerf falls off the sheet's edge is free, as it is in truth.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from service.engine.cutting.sheet_problem import Area, Placement, Rectangle, SheetCut


@dataclass(frozen=True, slots=True)
class Block:
    """One piece (`item`, `turned`), or `parts` side by side (`beside`) or one above the other."""

    width: int
    length: int
    item: int = -1
    turned: bool = False
    beside: bool = False
    parts: "tuple[Block, ...]" = ()


def beside(parts: Sequence[Block]) -> Block:
    """Parts from left to right, lower edges level."""
    if len(parts) == 1:
        return parts[0]
    return Block(sum(p.width for p in parts), max(p.length for p in parts), beside=True, parts=tuple(parts))


def above(parts: Sequence[Block]) -> Block:
    """Parts from the lower edge up, left edges level."""
    if len(parts) == 1:
        return parts[0]
    return Block(max(p.width for p in parts), sum(p.length for p in parts), beside=False, parts=tuple(parts))


@dataclass(slots=True)
class Layout:
    """A block laid on a sheet: pieces, cuts in the order they are made, and what is left."""

    sizes: Sequence[Rectangle]
    kerf: int
    placements: list[Placement] = field(default_factory=list)
    remainders: list[Area] = field(default_factory=list)
    cuts: list[SheetCut] = field(default_factory=list)

    def lay(self, block: Block, width: int, length: int) -> None:
        """Cuts a sheet of these sizes (kerf included) down to the block, and the block into its pieces."""
        self._cut_out(block, (0, 0, width, length))
        self.placements.sort(key=lambda p: (p.y, p.x))
        self.remainders.sort(key=lambda r: (-r[2] * r[3], r[1], r[0]))

    def _cut_out(self, block: Block, part: Area) -> None:
        """Trims the part so that the larger of the two strips left over is as large as it can be, then parts the block."""
        x, y, width, length = part
        across = width * (length - block.length) >= (width - block.width) * length
        for is_across in (across, not across):
            if is_across and block.length < length:
                self._remain(self._cut((x, y, width, length), True, block.length))
                length = block.length
            if not is_across and block.width < width:
                self._remain(self._cut((x, y, width, length), False, block.width))
                width = block.width
        if not block.parts:
            own_width, own_length = self.sizes[block.item]
            self.placements.append(Placement(own_width, own_length, x, y, block.turned))
        rest: Area = (x, y, width, length)
        for n, each in enumerate(block.parts):
            here = rest
            if n < len(block.parts) - 1:
                at = each.width if block.beside else each.length
                rest = self._cut(here, not block.beside, at)
                here = (here[0], here[1], at, here[3]) if block.beside else (here[0], here[1], here[2], at)
            self._cut_out(each, here)

    def _cut(self, part: Area, across: bool, at: int) -> Area:
        """Makes a cut and gives back what lies beyond it."""
        x, y, width, length = part
        self.cuts.append(SheetCut(x, y, width - self.kerf, length - self.kerf, across, at - self.kerf))
        return (x, y + at, width, length - at) if across else (x + at, y, width - at, length)

    def _remain(self, part: Area) -> None:
        x, y, width, length = part
        if width > self.kerf and length > self.kerf:
            self.remainders.append((x, y, width - self.kerf, length - self.kerf))
