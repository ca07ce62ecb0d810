"""A longer piece may stand in for a shorter one: that relaxes nothing, and a program over many lengths is solved much sooner.

A plan that lets pieces stand in for others is made whole by cutting them to what they stand for. After H. Ben Amor, J. Desrosiers
and J. M. Valério de Carvalho, "Dual-optimal inequalities for stabilized column generation" (2006).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from service.engine.cutting.solver.instance import Instance, Ints, Take


def cut_down(instance: Instance, takes: Sequence[Take]) -> list[Take]:
    """The same bars; pieces cut too many become shorter ones that are wanting, each the longest that still is."""
    spare = -instance.demand
    for t in takes:
        spare = spare + t.counts * t.copies
    changed: dict[tuple[int, int], Ints] = {}
    too_many: list[tuple[int, int, int]] = []  # take, copy of it, length
    for length, n in enumerate(spare.tolist()):
        if n > 0:
            too_many += _places(takes, length, n)
        for _ in range(min(-n, len(too_many))):
            take, copy, longer = too_many.pop()
            counts = changed.setdefault((take, copy), takes[take].counts.copy())
            counts[longer] -= 1
            counts[length] += 1
    changed_of = Counter(take for take, _ in changed)
    kept = [replace(t, copies=t.copies - changed_of[k]) for k, t in enumerate(takes) if t.copies > changed_of[k]]
    return [*kept, *(Take(takes[place[0]].bar, changed[place], 1) for place in sorted(changed))]


def _places(takes: Sequence[Take], length: int, at_most: int) -> list[tuple[int, int, int]]:
    """Where so many pieces of a length are cut."""
    places: list[tuple[int, int, int]] = []
    for k, take in enumerate(takes):
        for copy in range(take.copies if take.counts[length] else 0):
            places += [(k, copy, length)] * min(int(take.counts[length]), at_most - len(places))
            if len(places) == at_most:
                return places
    return places
