"""A plan made neat: nothing cut that is not wanted, no sheet larger than it need be, equal sheets together."""

from collections import Counter
from collections.abc import Sequence

from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take


def trimmed(instance: SheetInstance, takes: Sequence[Take]) -> list[Take]:
    """Leaves surplus pieces out, from the emptiest sheets first, and puts the rest on the smallest sheet that is no dearer."""
    over = [-n for n in instance.demand]
    for t in takes:
        for i, n in enumerate(t.counts):
            over[i] += n * t.copies
    kept: list[Take] = []
    for t in sorted(takes, key=lambda t: (_filled(instance, t.counts), t.sheet, t.counts)):
        copies = t.copies
        while copies > 0:
            drop = [min(n, max(0, o)) for n, o in zip(t.counts, over, strict=True)]
            alike = min([copies, *(o // d for o, d in zip(over, drop, strict=True) if d)])
            over = [o - d * alike for o, d in zip(over, drop, strict=True)]
            copies -= alike
            counts = tuple(n - d for n, d in zip(t.counts, drop, strict=True))
            block = without(t.block, list(drop)) if any(drop) else t.block
            if block is not None:
                kept.append(Take(_smallest(instance, block, t.sheet), block, counts, alike))
    return in_order(instance, kept)


def without(block: Block, drop: list[int]) -> Block | None:
    """The block less so many pieces of each size, counted down in `drop`; None when nothing is left."""
    if not block.parts:
        if drop[block.item]:
            drop[block.item] -= 1
            return None
        return block
    parts = [kept for part in reversed(block.parts) if (kept := without(part, drop)) is not None][::-1]
    if not parts:
        return None
    return (beside if block.beside else above)(parts)


def in_order(instance: SheetInstance, takes: Sequence[Take]) -> list[Take]:
    """Sheets cut for the same pieces joined; largest sheets first, then those with more of the longest pieces."""
    blocks: dict[tuple[int, Counts], Block] = {}
    copies: Counter[tuple[int, Counts]] = Counter()
    for t in takes:
        blocks.setdefault((t.sheet, t.counts), t.block)
        copies[t.sheet, t.counts] += t.copies
    joined = [Take(sheet, blocks[sheet, counts], counts, n) for (sheet, counts), n in copies.items()]
    return sorted(joined, key=lambda t: (-_area(instance, t.sheet), -t.sheet, tuple(-n for n in t.counts)))


def _smallest(instance: SheetInstance, block: Block, sheet: int) -> int:
    sheets = instance.sheets
    no_dearer = [
        k
        for k in instance.unlimited
        if block.width <= sheets[k].width and block.length <= sheets[k].length and sheets[k].price <= sheets[sheet].price
    ]
    best = min(no_dearer, key=lambda k: (sheets[k].price, _area(instance, k), k), default=sheet)
    return best if (sheets[best].price, _area(instance, best)) < (sheets[sheet].price, _area(instance, sheet)) else sheet


def _area(instance: SheetInstance, sheet: int) -> int:
    return instance.sheets[sheet].width * instance.sheets[sheet].length


def _filled(instance: SheetInstance, counts: Counts) -> int:
    return sum(n * w * h for n, (w, h) in zip(counts, instance.folded, strict=True))
