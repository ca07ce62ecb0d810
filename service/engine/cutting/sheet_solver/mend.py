"""A plan mended: some of its sheets, the most wasteful among them, are taken apart and their pieces planned anew, exactly."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import SheetInstance, Take
from service.engine.cutting.sheet_solver.program import Cover
from service.engine.cutting.sheet_solver.sets import FittingSets

MOST_ROUNDS = 24
MOST_PIECES = 30
MOST_SETS = 12000
MOST_PAIRS = 400000
MOST_WORK = 5_000
"""Patterns times nodes."""
WORST = 3
"""Sheets, the most wasteful, that take part in every round."""


def mend(instance: SheetInstance, best: Incumbent, enough: int) -> None:
    """Goes through the sheets, most wasteful first; begins again after each success, and ends at the price `enough`."""
    rounds = 0
    found = True
    while found and best.cost > enough:
        found = False
        for chosen in _groups(instance, best.takes):
            rounds += 1
            if rounds > MOST_ROUNDS:
                return
            anew = _planned_anew(instance, best.takes, chosen)
            if anew is not None:
                best.offer(anew)
                found = True
                break


def _groups(instance: SheetInstance, takes: Sequence[Take]) -> Iterator[list[int]]:
    """Places of takes, one sheet of each; one that is cut more than once counts once."""
    rate = min((s.price / (s.width * s.length) for s in instance.sheets if s.price), default=0.0)
    areas = [width * length for width, length in instance.folded]

    def waste(k: int) -> float:
        return instance.sheets[takes[k].sheet].price - rate * sum(n * a for n, a in zip(takes[k].counts, areas, strict=True))

    order = sorted(range(len(takes)), key=lambda k: (-round(waste(k), 6), k))
    start = 0
    while start < len(order):
        chosen = order[: min(WORST, start)]
        pieces = sum(sum(takes[k].counts) for k in chosen)
        end = start
        while end < len(order) and (end == start or pieces + sum(takes[order[end]].counts) <= MOST_PIECES):
            pieces += sum(takes[order[end]].counts)
            chosen.append(order[end])
            end += 1
        if len(chosen) > 1:
            yield chosen
        start += max(1, (end - start + 1) // 2)


def _planned_anew(instance: SheetInstance, takes: Sequence[Take], chosen: Sequence[int]) -> list[Take] | None:
    """The plan with one sheet of each of the chosen planned anew; None when that is no cheaper, or too much to list."""
    kept = [replace(t, copies=t.copies - (k in chosen)) for k, t in enumerate(takes)]
    freed = [replace(takes[k], copies=1) for k in chosen]
    demand = tuple(sum(t.counts[i] for t in freed) for i in range(len(instance.demand)))
    taken = Counter[int]()
    for t in kept:
        taken[t.sheet] += t.copies
    sheets = tuple(s if s.quantity is None else replace(s, quantity=s.quantity - taken[k]) for k, s in enumerate(instance.sheets))
    part = replace(instance, demand=demand, sheets=sheets)
    sets = FittingSets(part)
    if not sets.list_all(MOST_SETS, MOST_PAIRS):
        return None
    listed = sets.listed(only_full=True)
    choice = Cover(part, listed.sheet, listed.counts).cheapest(instance.cost(freed), MOST_WORK)
    if choice.copies is None:
        return None
    return [t for t in kept if t.copies] + [listed.take(int(j), int(choice.copies[j])) for j in np.flatnonzero(choice.copies)]
