"""Pieces so wide that no two lie side by side: cutting a roll, or boards of full width, is cutting bars."""

from collections import Counter, defaultdict
from collections.abc import Mapping

from service.engine.cutting.bars import BarPlan, plan_bars
from service.engine.cutting.problem import Stock
from service.engine.cutting.sheet_problem import SheetCertificate
from service.engine.cutting.sheet_solver.block import Block, above, beside
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance, Take


def line_axis(instance: SheetInstance) -> int | None:
    """1: pieces lie one above the other along the length; 0: side by side across the width; None: in both directions."""
    if instance.turning:
        return None
    for axis in (1, 0):
        across = 1 - axis
        spans = sorted(size[across] for size, n in zip(instance.folded, instance.demand, strict=True) for _ in range(min(n, 2)))
        rooms = [(s.width, s.length)[across] for s in instance.sheets]
        if len(spans) == 1 or (spans[-1] <= min(rooms) and spans[0] + spans[1] > max(rooms)):
            return axis
    return None


class Line:
    """A problem along one axis, planned as bars."""

    def __init__(self, instance: SheetInstance, axis: int) -> None:
        self.instance, self.axis = instance, axis
        pieces: Counter[int] = Counter()
        for size, n in zip(instance.sizes, instance.demand, strict=True):
            pieces[size[axis]] += n
        kerf = instance.kerf
        stock = [Stock((s.width, s.length)[axis] - kerf, s.price, s.in_stock) for s in instance.sheets]
        self.plan: BarPlan = plan_bars(pieces, stock, kerf)

    def takes(self) -> list[Take]:
        """The bars as sheets. Pieces of one length but several widths are handed out widest first."""
        waiting: Mapping[int, list[list[int]]] = defaultdict(list)
        for item, size in enumerate(self.instance.sizes):
            waiting[size[self.axis]].append([item, self.instance.demand[item]])
        copies_of: Counter[tuple[int, Counts]] = Counter()
        for pattern in self.plan.patterns:
            left = pattern.copies
            while left:
                counts, alike = self._hand_out(pattern.counts, left, waiting)
                copies_of[pattern.stock, counts] += alike
                left -= alike
        return [Take(sheet, self._block(counts), counts, n) for (sheet, counts), n in copies_of.items()]

    def left(self) -> Counts:
        left = dict(self.plan.unplaced)
        counts = []
        for item in sorted(range(len(self.instance.sizes)), key=lambda i: self.instance.sizes[i]):
            size = self.instance.sizes[item][self.axis]
            n = min(self.instance.demand[item], left.get(size, 0))
            left[size] = left.get(size, 0) - n
            counts.append((item, n))
        return tuple(n for _, n in sorted(counts))

    def certificate(self) -> SheetCertificate | None:
        """The bars' own: across the line each size is worth 1, for no two lie there together."""
        proof = self.plan.certificate
        if proof is None:
            return None
        ones = tuple((size, 1) for size in sorted({size[1 - self.axis] for size in self.instance.sizes}, reverse=True))
        widths, lengths = (ones, proof.values) if self.axis == 1 else (proof.values, ones)
        return SheetCertificate(widths, lengths, proof.scale, proof.proves)

    def _hand_out(
        self, pattern: tuple[tuple[int, int], ...], at_most: int, waiting: Mapping[int, list[list[int]]]
    ) -> tuple[Counts, int]:
        """The items of one bar, and how many bars alike the same items serve; takes them from `waiting`."""
        counts = [0] * len(self.instance.sizes)
        for size, n in pattern:
            for entry in waiting[size]:
                here = min(n - sum(counts[i] for i, _ in waiting[size]), entry[1])
                counts[entry[0]] = here
        entries = [entry for size, _ in pattern for entry in waiting[size] if counts[entry[0]]]
        alike = min(at_most, *(there // counts[item] for item, there in entries))
        for entry in entries:
            entry[1] -= counts[entry[0]] * alike
        return tuple(counts), alike

    def _block(self, counts: Counts) -> Block:
        pieces = [Block(*self.instance.folded[item], item) for item, n in enumerate(counts) for _ in range(n)]
        return above(pieces) if self.axis == 1 else beside(pieces)
