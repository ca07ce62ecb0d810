"""From a net quantity to what is ordered: whole bars, sheets, rolls, packs and pieces, never less than net (rules Q1, Q2).

All amounts are whole millionths of the schedule line's unit, so that sums are exact.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from functools import reduce

from service.engine.inputs import Item
from service.engine.order_results import BarCutList, CutBar, CutSheet, Derivation, FlatCutList, OrderEntry
from service.engine.quantities.packs import choose_packs
from service.vocabulary import UnitCode

PARTS = 1_000_000
"""Of one metre, square metre or piece."""
GRIP_MM = 10
"""How far a board screw reaches past the boards into the frame (common practice, no published source)."""


@dataclass(frozen=True, slots=True)
class Order:
    """Millionths of the unit: net - unsupplied + waste + reusable + allowance + spare = ordered + from offcuts."""

    entries: tuple[OrderEntry, ...]
    net: int
    unsupplied: int
    reusable: int
    allowance: int
    spare: int
    ordered: int
    from_offcuts: int = 0

    @property
    def waste(self) -> int:
        cut_from = self.ordered + self.from_offcuts
        return cut_from - (self.net - self.unsupplied) - self.reusable - self.allowance - self.spare


def nothing_for(net: int) -> Order:
    """The range holds nothing that would do."""
    return Order((), net, net, 0, 0, 0, 0)


def bar_order(cut_lists: Sequence[BarCutList], items: Sequence[Item], percent: Decimal) -> Order:
    """`items`: the range, for an allowance of what is cut from offcuts only."""
    bars = [bar for cut_list in cut_lists for bar in cut_list.bars]
    unsupplied = sum(member.length_mm for cut_list in cut_lists for member in cut_list.unplaced)
    net = sum(cut.length_mm for bar in bars for cut in bar.cuts) + unsupplied
    reusable = sum(bar.remainder_mm for bar in bars if bar.reusable)
    per_mm = PARTS // 1000

    def size(item: Item) -> int:
        return (item.length_mm or 0) * per_mm

    return _stock_order(bars, items, size, net * per_mm, unsupplied * per_mm, reusable * per_mm, percent)


def flat_order(cut_lists: Sequence[FlatCutList], items: Sequence[Item], net: int, percent: Decimal) -> Order:
    sheets = [sheet for cut_list in cut_lists for sheet in cut_list.sheets]
    unsupplied = sum(piece.net_mm2 for cut_list in cut_lists for piece in cut_list.unplaced)
    reusable = sum(int(r.width_mm * r.length_mm) for sheet in sheets for r in sheet.remainders if r.reusable)

    def size(item: Item) -> int:
        return (item.width_mm or 0) * (item.length_mm or 0)

    return _stock_order(sheets, items, size, net, unsupplied, reusable, percent)


def _stock_order(
    cut: Sequence[CutBar | CutSheet],
    items: Sequence[Item],
    size: Callable[[Item], int],
    net: int,
    unsupplied: int,
    reusable: int,
    percent: Decimal,
) -> Order:
    """Whole bars, sheets or rolls. An allowance is of the largest in use, or of the range where all is from offcuts."""
    needed = Counter(one.item for one in cut if one.offcut is None)
    largest = max(needed or (items if cut else ()), key=size, default=None)
    extra = Counter({largest: _share(net, percent, size(largest))} if largest and size(largest) and percent else {})
    entries = tuple(
        _entry(item, needed[item], extra[item], -(-(needed[item] + extra[item]) // item.pack_size))
        for item in sorted(needed | extra, key=size)
    )
    return Order(
        entries=entries,
        net=net,
        unsupplied=unsupplied,
        reusable=reusable,
        allowance=sum(size(entry.item) * entry.allowance for entry in entries),
        spare=sum(size(entry.item) * (entry.quantity - entry.needed - entry.allowance) for entry in entries),
        ordered=sum(size(entry.item) * entry.quantity for entry in entries),
        from_offcuts=sum(size(one.item) for one in cut if one.offcut is not None),
    )


def piece_order(net: int, items: Sequence[Item], percent: Decimal) -> Order:
    """Pieces in packs; `net` is a whole number of them."""
    if not items:
        return nothing_for(net)
    pieces = net // PARTS
    allowance = _share(pieces, percent, 1)
    entries = []
    to_need, to_allow = pieces, allowance
    for item, packs in choose_packs(pieces + allowance, items):
        quantity = packs * item.pack_size
        needed = min(quantity, to_need)
        allowed = min(quantity - needed, to_allow)
        entries.append(_entry(item, needed, allowed, packs))
        to_need, to_allow = to_need - needed, to_allow - allowed
    ordered = sum(entry.quantity for entry in entries)
    return Order(tuple(entries), net, 0, 0, allowance * PARTS, (ordered - pieces - allowance) * PARTS, ordered * PARTS)


def screw_order(derived: Sequence[Derivation], items: Sequence[Item], percent: Decimal, board_thickness_mm: float) -> Order:
    """Board screws layer by layer: the shortest that passes the boards up to that layer and grips the frame."""
    by_layer: Counter[int] = Counter()
    for derivation in derived:
        by_layer[derivation.layer] += derivation.count
    orders = []
    for layer, count in sorted(by_layer.items()):
        least = layer * board_thickness_mm + GRIP_MM
        shortest = min((item.length_mm for item in items if item.length_mm is not None and item.length_mm >= least), default=None)
        orders.append(piece_order(count * PARTS, [item for item in items if item.length_mm == shortest and shortest], percent))
    return reduce(_and, orders)


def _and(one: Order, other: Order) -> Order:
    return Order(
        (*one.entries, *other.entries),
        one.net + other.net,
        one.unsupplied + other.unsupplied,
        one.reusable + other.reusable,
        one.allowance + other.allowance,
        one.spare + other.spare,
        one.ordered + other.ordered,
    )


def yield_order(net: int, items: Sequence[Item], percent: Decimal, unit: UnitCode) -> Order:
    """Tubes, bags, rolls of tape and beads by what one of them yields; of several items the cheapest, or the least that will do.

    An item without a yield yields its length, where the unit is a length; else it cannot be used.
    """
    choices = []
    for n, item in enumerate(items):
        each = _yield(item, unit)
        if each:
            needed = -(-net // each)
            allowance = _share(net, percent, each)
            packs = -(-(needed + allowance) // item.pack_size)
            cost = packs * item.pack_size * (each if item.price_minor is None else item.price_minor)
            choices.append((item.price_minor is None, cost, n, each, _entry(item, needed, allowance, packs)))
    if not choices:
        return nothing_for(net)
    _, _, _, each, entry = min(choices, key=lambda choice: choice[:3])
    spare = entry.quantity - entry.needed - entry.allowance
    return Order((entry,), net, 0, 0, entry.allowance * each, spare * each, entry.quantity * each)


def _yield(item: Item, unit: UnitCode) -> int:
    if item.yield_per_piece:
        return round(item.yield_per_piece * PARTS)
    return (item.length_mm or 0) * (PARTS // 1000) if unit is UnitCode.METRE else 0


def _share(net: int, percent: Decimal, piece: int) -> int:
    """Whole pieces, each of so many units, that make up a percentage of the net quantity."""
    return int((net * percent / (100 * piece)).to_integral_value(ROUND_CEILING))


def _entry(item: Item, needed: int, allowance: int, packs: int) -> OrderEntry:
    return OrderEntry(
        item=item,
        needed=needed,
        allowance=allowance,
        packs=packs,
        quantity=packs * item.pack_size,
        unit_price_minor=None,
        price_minor=None,
    )
