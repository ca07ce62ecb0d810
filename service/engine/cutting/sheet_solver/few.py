"""Few pieces: the best plan there is, by working out for each part of them once what it takes at least.

The longest piece left has to come out of some sheet, alone or with others. What is left, pieces and sheets of limited number, is
one whole number with a digit for each of them. A digit has a bit to spare, its guard: set before something is taken away, it is
still set afterwards where there was enough.
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
    """A sheet filled with a set. `taken`: what is less afterwards; `cost`: its price and then, where it is bought, its area.

    `gathered`: the square of the area left over of it, less that of the whole where it is on hand for nothing. For as much left
    over in all, the sum is largest where most of it is in one place.
    """

    sheet: int
    key: int
    taken: int
    is_bought: bool
    cost: int
    gathered: int


_Way = tuple[tuple[int, int, int], int, _Filled]
"""((cost, changes from one pattern to the next, gathered below 0) up to the end, what is left, the sheet)."""
Choices = dict[int, list[tuple[int, _Filled]]]
"""Where so much is left: what is left next, and the sheet that is cut for it."""


def best_of_few(sets: FittingSets) -> list[Take] | None:
    """The plan of least price, of those of least area bought; then preferably of few patterns, then with one large remainder.

    What is on hand for nothing is used where more is left in one place then. None where there is no plan, or it is too much work.
    All sets must have been listed.
    """
    instance = sets.instance
    there = [*instance.demand, *(instance.sheets[k].quantity or 0 for k in instance.limited)]
    bits = max(there).bit_length() + 1
    whole = sum(n << bits * place for place, n in enumerate(there))
    guards = sum(1 << bits * place + bits - 1 for place in range(len(there)))
    choices = _choices(whole, guards, bits, _by_longest(sets, bits))
    best = _best(choices)
    if whole not in best:
        return None
    copies: Counter[_Filled] = Counter()
    left = whole
    while left in choices:
        _, left, filled = best[left]
        copies[filled] += 1
    counts = {filled: sets.counts(filled.key) for filled in copies}
    return [Take(f.sheet, sets.block(counts[f], f.sheet), counts[f], n) for f, n in copies.items()]


def _by_longest(sets: FittingSets, bits: int) -> Mapping[int, Sequence[_Filled]]:
    """The sets by the longest size in them, those of most pieces first."""
    instance = sets.instance
    place = {k: len(instance.demand) + n for n, k in enumerate(instance.limited)}
    areas = [width * length for width, length in instance.folded]
    area_bits = (sum(instance.demand) * max(s.width * s.length for s in instance.sheets)).bit_length()
    found = defaultdict[int, list[_Filled]](list)
    for key, counts, sheet in sets.on_sheets(only_full=False):
        taken = sum(n << bits * item for item, n in counts.items())
        if sheet in place:
            taken += 1 << bits * place[sheet]
        s = instance.sheets[sheet]
        area = s.width * s.length
        over = area - sum(n * areas[item] for item, n in counts.items())
        if s.price or s.quantity is None:
            filled = _Filled(sheet, key, taken, True, (s.price << area_bits) + area, over**2)
        else:
            filled = _Filled(sheet, key, taken, False, 0, over**2 - area**2)
        found[min(counts)].append(filled)
    return {item: filled[::-1] for item, filled in found.items()}


def _choices(whole: int, guards: int, bits: int, by_longest: Mapping[int, Sequence[_Filled]]) -> Choices:
    """For all that can be left on the way from the whole to the end; none at all where that is too much work."""
    choices: Choices = {}
    waiting, tried = [whole], 0
    while waiting:
        left = waiting.pop()
        longest = ((left & -left).bit_length() - 1) // bits
        if left in choices or longest not in by_longest:
            continue
        tried += len(by_longest[longest])
        if tried > MOST_TRIED:
            return {}
        guarded = left + guards
        choices[left] = [(rest - guards, f) for f in by_longest[longest] if (rest := guarded - f.taken) & guards == guards]
        waiting += [rest for rest, _ in choices[left]]
    return choices


def _best(choices: Choices) -> dict[int, _Way]:
    """The best way to go on from each that leads to the end. Less is left after each sheet, so that small numbers come first."""
    best: dict[int, _Way] = {}
    for left in sorted(choices):
        for rest, filled in choices[left]:
            then = best.get(rest)
            if then is not None:
                cost, changes, scattered = then[0]
                changes += filled.is_bought and filled is not then[2]
                rank = (cost + filled.cost, changes, scattered - filled.gathered)
            elif rest not in choices:  # no piece is left
                rank = (filled.cost, int(filled.is_bought), -filled.gathered)
            else:
                continue
            if left not in best or rank < best[left][0]:
                best[left] = rank, rest, filled
    return best
