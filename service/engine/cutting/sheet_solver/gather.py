"""What is left over is left in one place: between two sheets, pieces go over to one as long as the price stays.

Only sheets that are cut like no other take part, so that there are never more patterns than before.
"""

from dataclasses import replace

from service.engine.cutting.sheet_solver.instance import SheetInstance, Take
from service.engine.cutting.sheet_solver.sets import FittingSets
from service.engine.cutting.sheet_solver.tidy import in_order, trimmed

MOST_TRIES = 12
MOST_PIECES = 12
MOST_SETS = 400
MOST_PAIRS = 10_000


def gather(instance: SheetInstance, takes: list[Take]) -> list[Take]:
    """Fills the other sheets, fullest first, from the emptiest one; gives back a plan that costs no more."""
    areas = [width * length for width, length in instance.folded]

    def held(take: Take) -> int:
        return sum(n * a for n, a in zip(take.counts, areas, strict=True))

    def room(take: Take) -> int:
        return instance.sheets[take.sheet].width * instance.sheets[take.sheet].length - held(take)

    single = sorted((t for t in takes if t.copies == 1), key=lambda t: (room(t), t.sheet, t.counts))
    alike = [t for t in takes if t.copies > 1]
    if len(single) < 2:
        return takes
    emptiest = single.pop()
    for place, taker in list(enumerate(single))[:MOST_TRIES]:
        if room(taker) == 0:
            continue
        pair = _filled(instance, taker, emptiest, areas)
        if pair is not None and held(pair[0]) > held(taker):
            single[place], emptiest = pair
        if not any(emptiest.counts):
            break
    kept = [*alike, *single, *([emptiest] if any(emptiest.counts) else [])]
    return trimmed(instance, in_order(instance, kept))


def _filled(instance: SheetInstance, taker: Take, giver: Take, areas: list[int]) -> tuple[Take, Take] | None:
    """The same two sheets, the first as full as can be."""
    demand = tuple(a + b for a, b in zip(taker.counts, giver.counts, strict=True))
    if sum(demand) > MOST_PIECES:
        return None
    sets = FittingSets(replace(instance, demand=demand))
    if not sets.list_all(MOST_SETS, MOST_PAIRS):
        return None
    most = sets.fullest(areas, taker.sheet, giver.sheet)
    if most is None:
        return None
    rest = tuple(a - b for a, b in zip(demand, most, strict=True))
    first = Take(taker.sheet, sets.block(most, taker.sheet), most, 1)
    return first, Take(giver.sheet, sets.block(rest, giver.sheet) if any(rest) else giver.block, rest, 1)
