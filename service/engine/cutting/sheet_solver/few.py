"""Few pieces: the cheapest plan there is, by working out for every part of them once what it costs at least.

The longest piece left has to come out of some sheet. Of the sets in which it can, those count to which no other piece left could
be added on the same sheet: the fewer pieces are left, the less they cost.

What is left, pieces and sheets of limited number, is one whole number with a digit for each of them. A digit has a bit to spare,
its guard: set before something is taken away, it is still set afterwards where there was enough.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.engine.cutting.sheet_solver.instance import Take
from service.engine.cutting.sheet_solver.sets import FittingSets

MOST_TRIED = 20_000
"""Sets tried: ten milliseconds."""


@dataclass(frozen=True, slots=True)
class _Filled:
    """A sheet filled with a set. `taken`: what is less afterwards; `open`: the guards of sizes of which one more would go in."""

    sheet: int
    key: int
    taken: int
    open: int
    cost: int


_Way = tuple[int, int, int, _Filled]
"""(cost, how often the pattern changes, what is left, the sheet)."""
Choices = dict[int, list[tuple[int, _Filled]]]
"""Where so much is left: what can be cut next, and what is left then."""


def best_of_few(sets: FittingSets) -> list[Take] | None:
    """The plan of least price, of those of least area, of those one of few patterns; None without a plan or after too much work.

    All sets must have been listed.
    """
    instance = sets.instance
    there = [*instance.demand, *(instance.sheets[k].quantity or 0 for k in instance.limited)]
    bits = max(there).bit_length() + 1
    whole = sum(n << bits * place for place, n in enumerate(there))
    choices = _choices(whole, bits, len(there), _by_longest(sets, bits))
    best = _best(choices)
    if whole not in best:
        return None
    copies: Counter[_Filled] = Counter()
    left = whole
    while left in choices:
        _, _, left, filled = best[left]
        copies[filled] += 1
    counts = {filled: sets.counts(filled.key) for filled in copies}
    return [Take(f.sheet, sets.block(counts[f], f.sheet), counts[f], n) for f, n in copies.items()]


def _by_longest(sets: FittingSets, bits: int) -> Mapping[int, Sequence[_Filled]]:
    """The sets by the longest size in them, those of most pieces first."""
    instance = sets.instance
    place = {k: len(instance.demand) + n for n, k in enumerate(instance.limited)}
    area_bits = (sum(instance.demand) * max(s.width * s.length for s in instance.sheets)).bit_length()
    found = defaultdict[int, list[_Filled]](list)
    for key, counts, sheet, more in sets.on_sheets(with_more=True):
        s = instance.sheets[sheet]
        taken = sum(n << bits * item for item, n in counts.items())
        if sheet in place:
            taken += 1 << bits * place[sheet]
        guards = sum(1 << bits * item + bits - 1 for item in more)
        found[min(counts)].append(_Filled(sheet, key, taken, guards, (s.price << area_bits) + s.width * s.length))
    return {item: filled[::-1] for item, filled in found.items()}


def _choices(whole: int, bits: int, digits: int, by_longest: Mapping[int, Sequence[_Filled]]) -> Choices:
    """Of all that can be left on the way from the whole to nothing; none at all where that is too much work."""
    ones = sum(1 << bits * place for place in range(digits))
    guards = ones << bits - 1
    choices: Choices = {}
    waiting, tried = [whole], 0
    while waiting:
        left = waiting.pop()
        longest = ((left & -left).bit_length() - 1) // bits
        if left in choices or longest not in by_longest:
            continue
        found = choices[left] = []
        tried += len(by_longest[longest])
        if tried > MOST_TRIED:
            return {}
        for filled in by_longest[longest]:
            guarded = left + guards - filled.taken
            if guarded & guards == guards:
                rest = guarded - guards
                # Of what a digit holds, 1 is needed to reach its guard.
                if not (rest + guards - ones) & filled.open:
                    found.append((rest, filled))
                    waiting.append(rest)
    return choices


def _best(choices: Choices) -> dict[int, _Way]:
    """The best way to go on from each that leads to the end. Less is left after each sheet, so that small numbers come first."""
    best: dict[int, _Way] = {}
    for left in sorted(choices):
        for rest, filled in choices[left]:
            then = best.get(rest)
            if then is not None:
                way = (filled.cost + then[0], then[1] + (filled is not then[3]), rest, filled)
            elif rest not in choices:  # no piece is left
                way = (filled.cost, 1, rest, filled)
            else:
                continue
            if left not in best or way[:2] < best[left][:2]:
                best[left] = way
    return best
