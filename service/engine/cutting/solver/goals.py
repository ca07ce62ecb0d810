"""Among plans of the same cost: least waste, then fewest patterns, then one long remainder rather than several short ones."""

from collections.abc import Sequence

import numpy as np

from service.engine.cutting.solver.gap import Gap
from service.engine.cutting.solver.instance import Instance, Ints, Take
from service.engine.cutting.solver.master import Column
from service.engine.cutting.solver.program import fewest_patterns, least_waste

MOST_PATTERNS_FOR_WASTE = 300
MOST_PATTERNS_FOR_FEWEST = 60
MOST_WORK = 1_000
MOST_MOVES = 50


def settle(instance: Instance, gap: Gap, takes: list[Take], reusable_mm: int | None) -> list[Take]:
    """Goes through the goals in order, each within the work limit and without giving up what was reached before it."""
    takes = _by_programs(instance, gap, takes, reusable_mm)
    return gather(instance, takes, reusable_mm)


def _by_programs(instance: Instance, gap: Gap, takes: list[Take], reusable_mm: int | None) -> list[Take]:
    if gap.relaxed.bound is None:
        return takes
    cost = instance.cost(takes)
    columns = gap.lister.within(gap.lister.slack(cost), MOST_PATTERNS_FOR_WASTE, only_full=False)
    if columns is None:
        return takes
    waste = np.array([wasted_mm(instance, bar, counts, reusable_mm) for bar, counts in columns])
    so_far = _total_waste(instance, takes, reusable_mm)
    if so_far > 0 and not _cost_settles_waste(instance, reusable_mm):
        better = least_waste(instance, columns, waste, cost, takes, _nodes(columns))
        if better is not None and _is_plan(instance, better, cost) and _total_waste(instance, better, reusable_mm) < so_far:
            takes, so_far = better, _total_waste(instance, better, reusable_mm)
    if len(takes) > 1 and len(columns) <= MOST_PATTERNS_FOR_FEWEST:
        prices = np.array([instance.bars[bar].price for bar, _ in columns])
        better = fewest_patterns(instance, columns, [(prices, cost), (waste, so_far)], takes, _nodes(columns))
        if better is not None and _is_plan(instance, better, cost) and len(better) < len(takes):
            takes = better
    return takes


def _nodes(columns: Sequence[Column]) -> int:
    return max(1, MOST_WORK // len(columns))


def _is_plan(instance: Instance, takes: Sequence[Take], cost: int) -> bool:
    """A solver counts in floating point; this does not."""
    made = sum((t.counts * t.copies for t in takes), start=np.zeros_like(instance.demand))
    return instance.cost(takes) == cost and bool((made == instance.demand).all())


def _cost_settles_waste(instance: Instance, reusable_mm: int | None) -> bool:
    """Where every bar costs the same a mm and nothing is kept, equal cost is equal waste."""
    return reusable_mm is None and len({b.price / b.length_mm for b in instance.bars}) == 1


def wasted_mm(instance: Instance, bar: int, counts: Ints, reusable_mm: int | None) -> int:
    """What is left of a bar, unless it is long enough to keep."""
    lengths = np.array(instance.lengths) + instance.kerf_mm
    left = max(0, instance.bars[bar].length_mm - int(counts @ lengths))
    return 0 if reusable_mm is not None and left >= reusable_mm else left


def _total_waste(instance: Instance, takes: Sequence[Take], reusable_mm: int | None) -> int:
    return sum(wasted_mm(instance, t.bar, t.counts, reusable_mm) * t.copies for t in takes)


def gather(instance: Instance, takes: list[Take], reusable_mm: int | None) -> list[Take]:
    """Moves or swaps pieces out of the bar with the longest remainder into others' remainders, where that wastes no more.

    Only bars that are cut like no other take part, so that there are never more patterns than before.
    """
    single = [(t.bar, t.counts.copy()) for t in takes if t.copies == 1]
    alike = [t for t in takes if t.copies > 1]
    for _ in range(MOST_MOVES if len(single) > 1 else 0):
        room = [instance.bars[bar].capacity - int(counts @ instance.widths) for bar, counts in single]
        donor = max(range(len(single)), key=lambda k: (room[k], -k))
        move = _best_move(instance, single, room, donor, reusable_mm)
        if move is None:
            break
        taker, out, back = move
        for k, sign in ((donor, -1), (taker, 1)):
            single[k][1][out] += sign
            if back >= 0:
                single[k][1][back] -= sign
    return alike + [Take(bar, counts, 1) for bar, counts in single if counts.any()]


def _best_move(
    instance: Instance, single: Sequence[Column], room: Sequence[int], donor: int, reusable_mm: int | None
) -> tuple[int, int, int] | None:
    """(bar that takes, length moved to it, length moved back or -1) that lengthens the donor's remainder most."""
    widths = instance.widths.tolist()
    best, found = 0, None
    for taker in range(len(single)):
        if taker == donor:
            continue
        for out in np.flatnonzero(single[donor][1]).tolist():
            for back in [-1, *np.flatnonzero(single[taker][1]).tolist()]:
                gain = widths[out] - (widths[back] if back >= 0 else 0)
                if best < gain <= room[taker] and _wastes_no_more(instance, single, donor, taker, (out, back), reusable_mm):
                    best, found = gain, (taker, out, back)
    return found


def _wastes_no_more(
    instance: Instance, single: Sequence[Column], donor: int, taker: int, move: tuple[int, int], reusable_mm: int | None
) -> bool:
    out, back = move
    change = np.zeros_like(instance.demand)
    change[out] += 1
    if back >= 0:
        change[back] -= 1
    (bar, counts), (other, others) = single[donor], single[taker]
    before = wasted_mm(instance, bar, counts, reusable_mm) + wasted_mm(instance, other, others, reusable_mm)
    after = wasted_mm(instance, bar, counts - change, reusable_mm) + wasted_mm(instance, other, others + change, reusable_mm)
    return after <= before
