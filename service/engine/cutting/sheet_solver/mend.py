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
FEWEST_PIECES = 8
MOST_SETS = 12000
MOST_SETS_IN_ALL = 50_000
MOST_PAIRS = 400000
MOST_WORK = 5_000
"""Patterns times nodes."""
WORST = 3
"""Sheets, the most wasteful, that take part in every round."""


def mend(instance: SheetInstance, best: Incumbent, enough: int) -> None:
    """Goes through the sheets, most wasteful first; begins again after each success, and ends at the price `enough`.

    Where what one group can be cut into is too much to list, groups of fewer pieces are tried.
    """
    rounds = listed = 0
    most_pieces = MOST_PIECES
    begin = True
    while begin and best.cost > enough and most_pieces >= FEWEST_PIECES:
        begin = False
        for chosen in _groups(instance, best.takes, most_pieces):
            rounds += 1
            if rounds > MOST_ROUNDS or listed > MOST_SETS_IN_ALL:
                return
            part, kept = _apart(instance, best.takes, chosen)
            sets = FittingSets(part)
            is_complete = sets.list_all(MOST_SETS, MOST_PAIRS)
            listed += len(sets.boxes)
            if not is_complete:
                most_pieces = most_pieces * 2 // 3
            anew = _planned_anew(sets, instance.cost([replace(best.takes[k], copies=1) for k in chosen])) if is_complete else None
            if anew is not None:
                best.offer(kept + anew)
            if anew is not None or not is_complete:
                begin = True
                break


def _groups(instance: SheetInstance, takes: Sequence[Take], most_pieces: int) -> Iterator[list[int]]:
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
        while end < len(order) and (end == start or pieces + sum(takes[order[end]].counts) <= most_pieces):
            pieces += sum(takes[order[end]].counts)
            chosen.append(order[end])
            end += 1
        if len(chosen) > 1:
            yield chosen
        start += max(1, (end - start + 1) // 2)


def _apart(instance: SheetInstance, takes: Sequence[Take], chosen: Sequence[int]) -> tuple[SheetInstance, list[Take]]:
    """One sheet of each of the chosen as a problem of its own, and the rest of the plan."""
    kept = [replace(t, copies=t.copies - (k in chosen)) for k, t in enumerate(takes)]
    demand = tuple(sum(takes[k].counts[i] for k in chosen) for i in range(len(instance.demand)))
    taken = Counter[int]()
    for t in kept:
        taken[t.sheet] += t.copies
    sheets = tuple(s if s.quantity is None else replace(s, quantity=s.quantity - taken[k]) for k, s in enumerate(instance.sheets))
    return replace(instance, demand=demand, sheets=sheets), [t for t in kept if t.copies]


def _planned_anew(sets: FittingSets, below: int) -> list[Take] | None:
    """A cheaper plan; None when there is none, or none was found."""
    listed = sets.listed(only_full=True)
    choice = Cover(sets.instance, listed.sheet, listed.counts).cheapest(below, MOST_WORK)
    if choice.copies is None:
        return None
    return [listed.take(int(j), int(choice.copies[j])) for j in np.flatnonzero(choice.copies)]
