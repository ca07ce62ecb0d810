"""Proves a flat cutting plan from the plan alone. It shares no code with what makes plans."""

from collections import Counter
from collections.abc import Mapping, Sequence

from service.engine.cutting.flat_problem import Free, Placement, Rectangle, SheetPattern, SheetPlan, SheetStock
from service.vocabulary import CutStatus


class SheetPlanWrong(AssertionError):
    """A plan that is not what it claims to be; the message names every fault."""


def check_sheet_plan(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], plan: SheetPlan, turning: bool) -> None:
    """Raises SheetPlanWrong unless each piece is cut once, inside its sheet, by cuts from edge to edge, at the stated price.

    Remainders must be free, stock must suffice, the bound must not exceed the price nor fall short of the area's, and `optimal`
    must mean that the two are equal.
    """
    faults: list[str] = []
    cut: Counter[Rectangle] = Counter()
    used: Counter[int] = Counter()
    for number, pattern in enumerate(plan.patterns, 1):
        faults += [f"pattern {number}: {fault}" for fault in _pattern_faults(pattern, stock[pattern.stock], turning)]
        used[pattern.stock] += pattern.copies
        for placement in pattern.placements:
            cut[placement.asked] += pattern.copies
    wanted = Counter({size: count for size, count in pieces.items() if count})
    if cut + Counter(dict(plan.unplaced)) != wanted:
        faults.append(f"cut and unplaced are not what is asked for: {dict(wanted - cut)} lacking, {dict(cut - wanted)} too many")
    for i, sheet in enumerate(stock):
        if sheet.quantity is not None and used[i] > sheet.quantity:
            faults.append(f"stock {i}: {used[i]} used of {sheet.quantity}")
    cost = sum(stock[i].price * count for i, count in used.items())
    if cost != plan.used:
        faults.append(f"costs {cost}, not {plan.used}")
    if plan.lower_bound > plan.used:
        faults.append(f"the bound {plan.lower_bound} is above the price {plan.used}")
    if plan.status is CutStatus.OPTIMAL and plan.used != plan.lower_bound:
        faults.append(f"called optimal at a price of {plan.used} with a bound of {plan.lower_bound}")
    if faults:
        raise SheetPlanWrong("; ".join(faults))


def _pattern_faults(pattern: SheetPattern, sheet: SheetStock, turning: bool) -> list[str]:
    taken = [(p.x, p.y, p.width, p.length) for p in pattern.placements]
    faults = [f"{p} is turned" for p in pattern.placements if p.turned and not turning]
    faults += [f"{p} leaves the sheet" for p in pattern.placements if not _inside(p, sheet)]
    everything = [*taken, *pattern.remainders]
    everything.sort(key=lambda r: (r[0], r[1]))
    for i, one in enumerate(everything):
        for other in everything[i + 1 :]:
            if other[0] >= one[0] + one[2]:
                break
            if one[1] < other[1] + other[3] and other[1] < one[1] + one[3]:
                faults.append(f"{one} and {other} overlap")
    for x, y, width, length in pattern.remainders:
        if x < 0 or y < 0 or x + width > sheet.width or y + length > sheet.length:
            faults.append(f"the remainder {(x, y, width, length)} leaves the sheet")
    if not faults and not _by_edge_to_edge_cuts(taken):
        faults.append("cannot be cut from edge to edge")
    if pattern.copies < 1 or not pattern.placements:
        faults.append("is empty")
    return faults


def _inside(p: Placement, sheet: SheetStock) -> bool:
    return p.x >= 0 and p.y >= 0 and p.x + p.width <= sheet.width and p.y + p.length <= sheet.length


def _by_edge_to_edge_cuts(rectangles: Sequence[Free]) -> bool:
    """Whether cuts right through, each dividing what the ones before left, take every rectangle apart."""
    if len(rectangles) <= 1:
        return True
    for axis in (0, 1):
        ordered = sorted(rectangles, key=lambda r: r[axis])
        reach = ordered[0][axis] + ordered[0][axis + 2]
        for i, rectangle in enumerate(ordered[1:], 1):
            if rectangle[axis] >= reach:
                return _by_edge_to_edge_cuts(ordered[:i]) and _by_edge_to_edge_cuts(ordered[i:])
            reach = max(reach, rectangle[axis] + rectangle[axis + 2])
    return False
