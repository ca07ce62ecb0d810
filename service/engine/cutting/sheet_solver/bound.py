"""A lower bound over every packing, with its proof: a worth of each width and of each length (conservative scales).

With the worths of lengths fixed, the best worths of widths are the prices of a cutting problem along one line: so much of each
width is wanted as its pieces' lengths are worth, and a sheet is a bar that can be had as often as its own length is worth. It is
solved for one axis and the other in turn.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from service.engine.cutting.sheet_problem import SheetCertificate
from service.engine.cutting.sheet_solver.axis import Axis, Worths
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance
from service.engine.cutting.solver.prices import at_best_rates, next_sum

MOST_TURNS = 4
BRIEF = 3
"""Proofs: sizes worth what they measure, and each axis improved."""
LITTLE = 0.0005
"""A turn that raises the bound by no more than this part is the last."""


@dataclass(frozen=True, slots=True)
class Scale:
    """What sizes along one axis, kerf included, are worth; `held[k]`: the most that one line on a sheet of kind k can hold."""

    worths: Worths
    held: list[int]


Scales = tuple[Scale, Scale]
"""Of widths and of lengths."""


class PackingBound:
    """Finds worths that prove much for `demand`, no more than all pieces of the instance."""

    def __init__(self, instance: SheetInstance, demand: Counts) -> None:
        self.instance, self.demand = instance, demand
        self._axes = (self._axis(0), self._axis(1))

    def best(self, enough: int, brief: bool = False) -> SheetCertificate | None:
        """The certificate that proves most; looks no further once `enough` is proven. None where tables would be too large.

        `brief`: each axis is improved once at most.
        """
        best: SheetCertificate | None = None
        if not all(axis.is_small for axis in self._axes) or any(s.quantity is None and not s.price for s in self.instance.sheets):
            return None
        for proof in islice(self._proofs(), BRIEF if brief else None):
            if best is None or proof.proves > best.proves:
                best = proof
            if best.proves >= enough:
                break
        return best

    def _proofs(self) -> Iterator[SheetCertificate]:
        """From sizes worth what they measure, improving one axis and then the other, starting with either."""
        plain = (self._scale(0, _as_measured(self._axes[0])), self._scale(1, _as_measured(self._axes[1])))
        yield self._certificate(plain)
        if self.instance.turning:
            return
        for first in (0, 1):
            scales: Scales = plain
            reached = -1
            for turn in range(MOST_TURNS):
                better = self._improved(scales, (first + turn) % 2)
                if better is None:
                    break
                scales = better
                proof = self._certificate(scales)
                yield proof
                if proof.proves <= reached * (1 + LITTLE):
                    break
                reached = proof.proves

    def _axis(self, axis: int) -> Axis:
        count: Counter[int] = Counter()
        for item, n in enumerate(self.demand):
            for size in {way[axis] for way in self.instance.ways(item)} if n else ():
                count[size] += n
        return Axis(count, [(s.width, s.length)[axis] for s in self.instance.sheets])

    def _scale(self, axis: int, worths: Worths) -> Scale:
        return Scale(worths, self._axes[axis].most_worth(worths))

    def _improved(self, scales: Scales, axis: int) -> Scales | None:
        """The best worths along the axis while those along the other stay."""
        other = scales[1 - axis]
        weight: Counter[int] = Counter()
        for size, n in zip(self.instance.folded, self.demand, strict=True):
            weight[size[axis]] += n * other.worths.get(size[1 - axis], 0)
        sheets = self.instance.sheets
        rates = [s.price / most if most else 0.0 for s, most in zip(sheets, other.held, strict=True)]
        dearest = max(rates)
        if not weight.total() or dearest <= 0:
            return None
        prices = [rate / dearest for rate in rates]
        stock = [None if s.quantity is None else s.quantity * most for s, most in zip(sheets, other.held, strict=True)]
        worths = self._axes[axis].best_worths(weight, prices, stock)
        if not any(worths.values()):
            return None
        better = self._scale(axis, worths)
        return (better, other) if axis == 0 else (other, better)

    def _certificate(self, scales: Scales) -> SheetCertificate:
        """The finest scale at which no sheet without limit holds more than its price."""
        sheets, kerf = self.instance.sheets, self.instance.kerf
        widths, lengths = scales[0].worths, scales[1].worths
        held = [beside * above for beside, above in zip(scales[0].held, scales[1].held, strict=True)]
        endless = any(s.quantity is None for s in sheets)
        scale = max(
            (-(-h // s.price) for h, s in zip(held, sheets, strict=True) if s.price and endless <= (s.quantity is None)),
            default=1,
        )
        scale = max(1, scale)
        worth = 0
        for item, n in enumerate(self.demand):
            worth += n * min(widths.get(w, 0) * lengths.get(h, 0) for w, h, _ in self.instance.ways(item))
        for h, s in zip(held, sheets, strict=True):
            worth -= max(0, h - s.price * scale) * (s.quantity or 0)
        return SheetCertificate(
            tuple((size - kerf, v) for size, v in sorted(widths.items(), reverse=True)),
            tuple((size - kerf, v) for size, v in sorted(lengths.items(), reverse=True)),
            scale,
            next_sum(self.instance.price_list, -(-worth // scale)),
        )


def _as_measured(axis: Axis) -> Worths:
    return {size: size for size in axis.sizes}


def area_bound(instance: SheetInstance, demand: Counts) -> int:
    """The price of the pieces' area alone, kerf included, bought at the best rates first."""
    want = sum(w * h * n for (w, h), n in zip(instance.folded, demand, strict=True))
    cost = at_best_rates(want, [(s.price, s.width * s.length, s.in_stock) for s in instance.sheets])
    return next_sum(instance.price_list, cost)
