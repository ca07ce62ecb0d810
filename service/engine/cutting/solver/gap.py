"""Closes the gap between the best plan and the bound, from both sides."""

from collections.abc import Sequence
from functools import cached_property

from service.engine.cutting.solver.dive import after, whole_part
from service.engine.cutting.solver.generate import Relaxation
from service.engine.cutting.solver.incumbent import Incumbent
from service.engine.cutting.solver.instance import Instance
from service.engine.cutting.solver.knapsack import table_cells
from service.engine.cutting.solver.learn import learn
from service.engine.cutting.solver.listing import Lister
from service.engine.cutting.solver.master import MISSING, Column
from service.engine.cutting.solver.prices import next_sum, price_unit
from service.engine.cutting.solver.program import Outcome, cheapest
from service.engine.cutting.solver.residual import Residual

FEW_PATTERNS = 300
SOME_PATTERNS = 600
MANY_PATTERNS = 1000
"""How many patterns an integer program has: some hundredths of a second, a tenth, and half a second."""
FEW_LENGTHS = 12
"""Up to here a target is ruled out sooner by how many bars of each price can make it up."""
MOST_NODES = 400
MOST_FOUND = 400
MOST_WORK = 80_000
MOST_TARGETS = 6
MOST_ATTEMPTS = 30
MOST_CELLS = 1_000_000_000


class Gap:
    """`proven`: no plan costs less. The `certificate` proves what the relaxation's prices do; a target ruled out raises it."""

    def __init__(self, instance: Instance, relaxed: Relaxation, best: Incumbent) -> None:
        self.instance, self.relaxed, self.best = instance, relaxed, best
        self.certificate = relaxed.bound.certificate(instance) if relaxed.bound else None
        self.proven = self.certificate.proves if self.certificate else 0
        self._unit = price_unit(instance.price_list)
        self._bar_price = min(b.price for b in instance.bars if b.quantity is None or not instance.unlimited)
        self._stuck_at: dict[int, int] = {}

    @property
    def is_closed(self) -> bool:
        return self.best.takes is not None and self.best.cost <= self.proven

    @property
    def is_small(self) -> bool:
        """A fiftieth of a bar: not worth the dearer ways of improving."""
        return self.best.cost - self.proven <= self._bar_price // 50

    @cached_property
    def lister(self) -> Lister:
        assert self.relaxed.bound is not None
        return Lister(self.instance, self.relaxed.knapsack, self.relaxed.bound)

    def close(self, most_patterns: int) -> None:
        """Asks for a plan at the bound, then a little above it, and so on: each answer is an optimum or a higher bound.

        Gives up at a target whose patterns are more than `most_patterns` or whose program is too hard, and will not ask for that
        one again within the same limit.
        """
        step = self._bar_price // 50 // self._unit * self._unit
        for _ in range(MOST_TARGETS):
            if self.is_closed or self.relaxed.bound is None:
                return
            target = min(self.best.cost - self._unit, self.proven + step)
            if target >= self._stuck_at.get(most_patterns, target + 1):
                return
            columns = self.lister.within(self.lister.slack(target), most_patterns, only_full=True)
            if columns is None:
                if target == self.proven:
                    self._stuck_at[most_patterns] = target
                    return
                step = (target - self.proven) // 4 // self._unit * self._unit
                continue
            by_totals = len(self.instance.widths) <= FEW_LENGTHS
            result = cheapest(self.instance, columns, target, _nodes(columns), by_totals)
            self.best.offer(result.takes or [])
            if result.outcome is Outcome.STOPPED:
                self._stuck_at[most_patterns] = target
                return
            if self.best.cost <= target and result.outcome is Outcome.BEST:
                self.proven = self.best.cost
                return
            self.proven = next_sum(self.instance.price_list, target + 1)
            step = max(self._unit, 2 * step)

    def learn_rest(self) -> None:
        """Keeps the whole part of the relaxation and learns a plan for the rest."""
        fixed = whole_part(self.relaxed)
        rest = Residual(self.instance, *after(self.instance, fixed))
        own = Incumbent(rest.instance)
        learn(rest.instance, own, _attempts(rest.instance), self.proven - self.instance.cost(fixed))
        self.best.offer(fixed + rest.outward(own.takes or []))

    def pick_patterns(self) -> None:
        """Looks for a plan among those the relaxation found; where lengths are many these leave too little choice."""
        if self.relaxed.master.lets_stand_in:
            self._pick_best_patterns()
        else:
            self.pick_found_patterns()

    def pick_found_patterns(self) -> None:
        """Looks for a plan among the patterns that the relaxation found, those that lose least."""
        columns = self._found(used=False)
        if self.relaxed.bound is not None:
            columns.sort(key=self._loss)
        self._pick(columns[:MOST_FOUND])

    def _pick_best_patterns(self) -> None:
        """A plan of many bars cannot lose much on any one of them: looks for one among the patterns that lose least."""
        slack = self.lister.slack(self.best.cost - 1) // 8
        for _ in range(MOST_TARGETS):
            columns = self.lister.within(slack, SOME_PATTERNS, only_full=True)
            if columns is not None:
                known = {(bar, counts.tobytes()) for bar, counts in columns}
                columns += [(bar, counts) for bar, counts in self._found(used=True) if (bar, counts.tobytes()) not in known]
                self._pick(columns)
                return
            slack //= 4

    def _loss(self, column: Column) -> int:
        """By how much a pattern costs more than it is worth by the bound's values, in scaled units."""
        assert self.relaxed.bound is not None
        bar, counts = column
        bound = self.relaxed.bound
        return self.instance.bars[bar].price * bound.scale + bound.excess[bar] - int(counts @ bound.values)

    def _pick(self, columns: Sequence[Column]) -> None:
        target = self.best.cost - 1 if self.best.takes is not None else self.relaxed.master.missing_price
        self.best.offer(cheapest(self.instance, columns, target, _nodes(columns), by_totals=True).takes or [])

    def _found(self, used: bool) -> list[Column]:
        pairs = zip(self.relaxed.master.columns, self.relaxed.fractions, strict=True)
        return [column for column, x in pairs if column[0] != MISSING and (x > 0 or not used)]


def _nodes(columns: Sequence[Column]) -> int:
    return min(MOST_NODES, MOST_WORK // max(1, len(columns)))


def _attempts(instance: Instance) -> int:
    """Each attempt fills one table a bar."""
    bars = 1 + int(instance.demand @ instance.widths) // max(1, instance.capacity)
    return max(1, min(MOST_ATTEMPTS, MOST_CELLS // (bars * max(1, table_cells(instance)))))
