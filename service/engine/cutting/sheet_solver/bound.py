"""A lower bound over every packing, with its proof: a worth of each width and of each length (conservative scales).

With the worths of lengths fixed, the best worths of widths are the prices of a cutting problem along one line: so much of each
width is wanted as its pieces' lengths are worth, and a sheet is a bar that can be had as often as its own length is worth.
That is the relaxation that bars are planned with. It is solved for one direction and the other in turn.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

import numpy as np

from service.engine.cutting.sheet_problem import SheetCertificate
from service.engine.cutting.sheet_solver.instance import Counts, SheetInstance
from service.engine.cutting.sheet_solver.prices import next_sum
from service.engine.cutting.solver.generate import relax
from service.engine.cutting.solver.instance import Bar, Instance
from service.engine.cutting.solver.knapsack import Knapsack, table_cells

FINEST = 1 << 24
"""Worths go up to about this."""
MOST_CELLS = 24_000_000
MOST_TURNS = 4

Worths = dict[int, int]


@dataclass(frozen=True, slots=True)
class Scales:
    """Worths by folded width (axis 0) and by folded length (axis 1)."""

    worths: tuple[Worths, Worths]

    def with_axis(self, axis: int, worths: Worths) -> "Scales":
        return Scales((worths, self.worths[1])) if axis == 0 else Scales((self.worths[0], worths))


class PackingBound:
    """Finds worths that prove much for `demand`, no more than all pieces of the instance."""

    def __init__(self, instance: SheetInstance, demand: Counts) -> None:
        self.instance, self.demand = instance, demand
        self._lines = (self._line(0), self._line(1))
        self._knapsacks = tuple(None if table_cells(line) > MOST_CELLS else Knapsack(line) for line in self._lines)

    def best(self, enough: int) -> SheetCertificate | None:
        """The certificate that proves most; looks no further once `enough` is proven. None where tables would be too large."""
        best: SheetCertificate | None = None
        for scales in self._candidates():
            proof = self._certificate(scales)
            if proof is not None and (best is None or proof.proves > best.proves):
                best = proof
            if best is not None and best.proves >= enough:
                break
        return best

    def _candidates(self) -> Iterator[Scales]:
        """From sizes worth what they measure, improving one axis and then the other, starting with either."""
        if None in self._knapsacks:
            return
        plain = Scales(tuple({size: size for size in line.lengths} for line in self._lines))  # type: ignore[arg-type]
        yield plain
        if self.instance.turning:
            return
        for first in (0, 1):
            scales, axis, reached = plain, first, -1
            for _ in range(MOST_TURNS):
                better = self._improved(scales, axis)
                if better is None:
                    break
                scales, axis = better, 1 - axis
                yield scales
                proof = self._certificate(scales)
                if proof is None or proof.proves <= reached:
                    break
                reached = proof.proves

    def _line(self, axis: int) -> Instance:
        """All sizes along one axis as lengths of bars; demand and prices are put in when they are known."""
        instance = self.instance
        count: Counter[int] = Counter()
        for item, n in enumerate(self.demand):
            for way in instance.ways(item) if n else ():
                count[way[axis]] += n
        capacities = [(s.width, s.length)[axis] for s in instance.sheets]
        lengths = tuple(sorted(count, reverse=True))
        unit = gcd(*lengths) or 1
        widths = np.array([size // unit for size in lengths], dtype=np.int64)
        bars = tuple(Bar(c // unit, c, s.price, s.quantity, ()) for c, s in zip(capacities, instance.sheets, strict=True))
        most = np.minimum(np.array([count[size] for size in lengths]), max(b.capacity for b in bars) // widths)
        return Instance(0, lengths, widths, most, most, bars, ())

    def _most_worth(self, axis: int, worths: Worths) -> list[int]:
        """For each kind of sheet, the most that one line along the axis can hold."""
        line, knapsack = self._lines[axis], self._knapsacks[axis]
        assert knapsack is not None
        best = knapsack.fill(np.array([worths.get(size, 0) for size in line.lengths], dtype=np.int64))
        return [int(best[bar.capacity]) for bar in line.bars]

    def _improved(self, scales: Scales, axis: int) -> Scales | None:
        """The best worths along the axis while those along the other stay."""
        line, other = self._lines[axis], scales.worths[1 - axis]
        held = self._most_worth(1 - axis, other)
        weight: Counter[int] = Counter()
        for size, n in zip(self.instance.folded, self.demand, strict=True):
            weight[size[axis]] += n * other.get(size[1 - axis], 0)
        kept = [i for i, size in enumerate(line.lengths) if weight[size] > 0]
        dearest = max((bar.price / most for bar, most in zip(line.bars, held, strict=True) if most), default=0.0)
        if not kept or dearest <= 0:
            return None
        bars = tuple(
            Bar(
                b.capacity,
                b.length_mm,
                round(b.price / most / dearest * FINEST),
                None if b.quantity is None else b.quantity * most,
                (),
            )
            for b, most in zip(line.bars, held, strict=True)
            if most
        )
        demand = np.array([weight[line.lengths[i]] for i in kept], dtype=np.int64)
        lengths = tuple(line.lengths[i] for i in kept)
        prices = tuple((b.price, b.quantity) for b in bars)
        slices = Instance(0, lengths, line.widths[kept], demand, line.most[kept], bars, prices)
        bound = relax(slices, (), None).bound
        if bound is None or not bound.values.any():
            return None
        return scales.with_axis(axis, _rounded(dict(zip(lengths, bound.values.tolist(), strict=True))))

    def _certificate(self, scales: Scales) -> SheetCertificate | None:
        instance = self.instance
        held = [a * b for a, b in zip(self._most_worth(0, scales.worths[0]), self._most_worth(1, scales.worths[1]), strict=True)]
        free = any(s.quantity is None and s.price == 0 for s in instance.sheets)
        scale = max(
            (-(-h // s.price) for h, s in zip(held, instance.sheets, strict=True) if s.quantity is None and s.price), default=0
        )
        scale = scale or max((-(-h // s.price) for h, s in zip(held, instance.sheets, strict=True) if s.price), default=1) or 1
        if free:
            return None
        widths, lengths = scales.worths
        worth = sum(
            n * min(widths.get(w, 0) * lengths.get(h, 0) for w, h, _ in instance.ways(item)) for item, n in enumerate(self.demand)
        )
        for h, s in zip(held, instance.sheets, strict=True):
            if s.quantity is not None:
                worth -= max(0, h - s.price * scale) * s.quantity
        kerf = instance.kerf
        return SheetCertificate(
            tuple((size - kerf, v) for size, v in sorted(widths.items(), reverse=True)),
            tuple((size - kerf, v) for size, v in sorted(lengths.items(), reverse=True)),
            scale,
            next_sum(instance, -(-worth // scale)),
        )


def _rounded(worths: Worths) -> Worths:
    """Small enough that products stay manageable, with no common divisor."""
    finest = max(worths.values())
    shift = max(0, finest.bit_length() - FINEST.bit_length())
    shifted = {size: v >> shift for size, v in worths.items()}
    unit = gcd(*shifted.values()) or 1
    return {size: v // unit for size, v in shifted.items()}
