"""Refuses a wrong plan for sheets. Written apart from the solver: the two have only the words of the problem in common.

The cuts are made again, one after the other, on each sheet: what falls apart must be exactly the pieces and the remainders.
Pieces that come out of straight edge-to-edge cuts lie inside their sheet and on no other.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from math import gcd

import numpy as np

from service.engine.cutting.check_prices import bought_by_measure, least_payable
from service.engine.cutting.sheet_problem import (
    Area,
    Rectangle,
    SheetBound,
    SheetCertificate,
    SheetPattern,
    SheetPlan,
    SheetStock,
)
from service.vocabulary import CutStatus

LARGEST_WORTH = 1 << 62


class SheetPlanWrong(AssertionError):
    """A plan is not what it says; `faults` lists everything wrong with it."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


def check_sheet_plan(
    pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], plan: SheetPlan, turning: bool = False, kerf: int = 0
) -> None:
    """Raises SheetPlanWrong unless the cuts make exactly the pieces out of the stock, and the bound and the status hold."""
    faults = [*_faults_of_stock(stock, plan), *_faults_of_demand(pieces, stock, plan, turning)]
    for number, pattern in enumerate(plan.patterns, start=1):
        if 0 <= pattern.stock < len(stock):
            faults += [f"pattern {number}: {fault}" for fault in _faults_of_pattern(stock[pattern.stock], pattern, turning, kerf)]
    if not faults:
        faults = _faults_of_bound(pieces, stock, plan, turning, kerf)
    if faults:
        raise SheetPlanWrong(faults)


def _faults_of_stock(stock: Sequence[SheetStock], plan: SheetPlan) -> list[str]:
    faults = []
    taken: Counter[int] = Counter()
    for number, pattern in enumerate(plan.patterns, start=1):
        if not 0 <= pattern.stock < len(stock):
            faults.append(f"pattern {number}: there is no stock {pattern.stock}")
            continue
        if pattern.copies < 1:
            faults.append(f"pattern {number}: {pattern.copies} copies")
        taken[pattern.stock] += pattern.copies
    for place, count in sorted(taken.items()):
        limit = stock[place].quantity
        if limit is not None and count > limit:
            faults.append(f"stock {place}: {count} sheets taken of {limit}")
    used = sum(stock[place].price * count for place, count in taken.items())
    if used != plan.used:
        faults.append(f"the sheets come to {used}, the plan says {plan.used}")
    return faults


def _faults_of_pattern(sheet: SheetStock, pattern: SheetPattern, turning: bool, kerf: int) -> list[str]:
    faults = []
    if not pattern.placements:
        faults.append("a sheet of which nothing is cut")
    parts: set[Area] = {(0, 0, sheet.width, sheet.length)}
    for order, cut in enumerate(pattern.cuts, start=1):
        part = (cut.x, cut.y, cut.width, cut.length)
        extent = cut.length if cut.across else cut.width
        if part not in parts:
            faults.append(f"cut {order}: there is no part {part} to be cut")
        elif not 0 < cut.at < extent:
            faults.append(f"cut {order}: at {cut.at} of a part of {extent}")
        else:
            parts.remove(part)
            rest = extent - cut.at - kerf
            if cut.across:
                parts.add((cut.x, cut.y, cut.width, cut.at))
                beyond = (cut.x, cut.y + cut.at + kerf, cut.width, rest)
            else:
                parts.add((cut.x, cut.y, cut.at, cut.length))
                beyond = (cut.x + cut.at + kerf, cut.y, rest, cut.length)
            if rest > 0:
                parts.add(beyond)
    for placement in pattern.placements:
        area = (placement.x, placement.y, placement.across, placement.along)
        if placement.turned and not turning:
            faults.append(f"piece {placement.width} x {placement.length} is turned")
        if area not in parts:
            faults.append(f"piece {placement.width} x {placement.length} at ({placement.x}, {placement.y}) is not cut out")
        parts.discard(area)
    if Counter(pattern.remainders) != Counter(parts):
        faults.append(f"the remainders are {sorted(parts)}, the plan says {sorted(pattern.remainders)}")
    areas = [width * length for _, _, width, length in pattern.remainders]
    if areas != sorted(areas, reverse=True):
        faults.append("remainders are not listed largest first")
    return faults


def _faults_of_demand(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], plan: SheetPlan, turning: bool) -> list[str]:
    made: Counter[Rectangle] = Counter()
    for pattern in plan.patterns:
        for placement in pattern.placements:
            made[placement.width, placement.length] += pattern.copies
    left = dict(plan.unplaced)
    faults = []
    if [size for size, _ in plan.unplaced] != sorted(left, key=lambda s: (-s[1], -s[0])) or any(n < 1 for n in left.values()):
        faults.append("unplaced pieces are not listed once each, longest first")
    for size in sorted(set(pieces) | set(made) | set(left)):
        want, got = pieces.get(size, 0), made[size] + left.get(size, 0)
        if got != want:
            faults.append(f"{size[0]} x {size[1]}: {got} cut or unplaced, {want} wanted")
        if size in left and any(s.quantity is None and _holds(s, size, turning) for s in stock):
            faults.append(f"{size[0]} x {size[1]}: left unplaced, but there is stock without limit that holds it")
    return faults


def _holds(sheet: SheetStock, size: Rectangle, turning: bool) -> bool:
    ways = {size, (size[1], size[0])} if turning else {size}
    return any(width <= sheet.width and length <= sheet.length for width, length in ways)


def _faults_of_bound(
    pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], plan: SheetPlan, turning: bool, kerf: int
) -> list[str]:
    left = dict(plan.unplaced)
    placed = {size: n for size, count in pieces.items() if (n := count - left.get(size, 0)) > 0}
    ran_out = any(_holds(s, size, turning) for size in left for s in stock if s.quantity != 0)
    faults = []
    if plan.certificate is not None:
        proven = prove_sheet_bound(placed, stock, plan.certificate, turning, kerf)
        if plan.certificate.proves > proven:
            faults.append(f"the certificate is said to prove {plan.certificate.proves}, it proves {proven}")
        if plan.lower_bound < plan.certificate.proves:
            faults.append(f"the lower bound is {plan.lower_bound}, less than its certificate proves ({plan.certificate.proves})")
    elif plan.bound is SheetBound.ANY_PACKING and plan.lower_bound > (proven := area_bound(placed, stock, kerf, turning)):
        faults.append(f"the lower bound is {plan.lower_bound}; without a certificate only {proven} is proven")
    if not 0 <= plan.lower_bound <= plan.used:
        faults.append(f"the lower bound is {plan.lower_bound}, the plan costs {plan.used}")
    proved = plan.certificate is not None or plan.bound is SheetBound.GUILLOTINE
    if ran_out or (plan.lower_bound < plan.used and not proved):
        honest = CutStatus.HEURISTIC
    else:
        honest = CutStatus.OPTIMAL if plan.lower_bound == plan.used else CutStatus.BOUNDED
    if plan.status != honest:
        faults.append(f"the status is {plan.status}, what is proven is {honest}")
    return faults


def area_bound(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], kerf: int = 0, turning: bool = False) -> int:
    """The price of the pieces' area, kerf included, were sheets bought by the area at the best rates first."""
    want = sum((width + kerf) * (length + kerf) * count for (width, length), count in pieces.items())
    usable = _usable(pieces, stock, turning)
    cost = bought_by_measure(want, [(s.price, (s.width + kerf) * (s.length + kerf), s.quantity) for s in usable])
    return least_payable(cost, _prices(usable))


def prove_sheet_bound(
    pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], certificate: SheetCertificate, turning: bool, kerf: int
) -> int:
    """What the certificate proves of any packing of `pieces` on sheets of `stock`; 0 when it proves nothing."""
    by_width, by_length = dict(certificate.widths), dict(certificate.lengths)
    if certificate.scale < 1 or any(v < 0 for v in (*by_width.values(), *by_length.values())):
        return 0

    def worth(size: Rectangle) -> int:
        ways = {size, (size[1], size[0])} if turning else {size}
        return min(by_width.get(width, 0) * by_length.get(length, 0) for width, length in ways)

    usable = _usable(pieces, stock, turning)
    most_beside = _most_worth(by_width, _how_many(pieces, 0, turning), max((s.width for s in usable), default=0), kerf)
    most_above = _most_worth(by_length, _how_many(pieces, 1, turning), max((s.length for s in usable), default=0), kerf)
    bound = sum(worth(size) * count for size, count in pieces.items())
    alike: Counter[tuple[int, int, int]] = Counter()
    for s in usable:
        excess = most_beside(s.width) * most_above(s.length) - s.price * certificate.scale
        if excess > 0 and s.quantity is None:
            return 0
        alike[s.width, s.length, excess] += s.quantity or 0
    bound -= sum(max(0, excess) * min(number, sum(pieces.values())) for (_, _, excess), number in alike.items())
    return least_payable(-(-bound // certificate.scale), _prices(usable))


def _prices(usable: Sequence[SheetStock]) -> list[tuple[int, int | None]]:
    return [(s.price, s.quantity) for s in usable]


def _usable(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], turning: bool) -> list[SheetStock]:
    """Sheets that hold a piece, less those that one without limit, as large and cheaper, can take the place of in any plan."""
    return [
        s
        for s in stock
        if s.quantity != 0
        and any(_holds(s, size, turning) for size in pieces)
        and not any(t.quantity is None and t.width >= s.width and t.length >= s.length and t.price < s.price for t in stock)
    ]


def _how_many(pieces: Mapping[Rectangle, int], axis: int, turning: bool) -> Counter[int]:
    """How many pieces can lie with each size along the axis."""
    count: Counter[int] = Counter()
    for size, n in pieces.items():
        for side in {size[0], size[1]} if turning else {size[axis]}:
            count[side] += n
    return count


def _most_worth(value: Mapping[int, int], count: Mapping[int, int], longest: int, kerf: int) -> Callable[[int], int]:
    """A function of room: the most worth that sizes which fit into it side by side can have, one integer knapsack."""
    unit = gcd(*(size + kerf for size in count)) or 1
    cells = (longest + kerf) // unit
    best = np.zeros(cells + 1, dtype=np.int64)
    if sum(value.get(size, 0) * n for size, n in count.items()) > LARGEST_WORTH:
        return lambda room: LARGEST_WORTH
    for size, n in sorted(count.items()):
        width, worth = (size + kerf) // unit, value.get(size, 0)
        many, step = min(n, cells // width), 1
        while worth and many > 0:
            take = min(step, many)
            np.maximum(best[take * width :], best[: cells + 1 - take * width] + take * worth, out=best[take * width :])
            many -= take
            step *= 2
    return lambda room: int(best[(room + kerf) // unit])
