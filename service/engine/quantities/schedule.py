"""What to order: one line for each component that the layouts use, and how the order differs from what is used (rules Q1, Q2)."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from service.engine.findings import finding, in_order
from service.engine.inputs import Item, Options
from service.engine.quantities.derivations import derivations
from service.engine.quantities.packs import choose_packs
from service.engine.results import BarCutList, Derivation, Finding, OrderEntry, ScheduleLine, WallLayout
from service.vocabulary import COMPONENT_NAMES, Component, FindingCode, UnitCode

MM_PER_M = 1000


def schedule(
    layouts: Sequence[WallLayout], cut_lists: Sequence[BarCutList], items: Sequence[Item], options: Options
) -> tuple[tuple[ScheduleLine, ...], tuple[Finding, ...]]:
    """Lines without prices and masses, in the order of the components; what the range lacks, and what stock on hand lacks.

    Bars are counted in metres from the cut lists, everything else in pieces. An allowance is a percentage of the net quantity,
    made up to whole bars (of the longest length that the plan uses, so that any spoilt member can be cut again) or whole pieces.
    """
    lines = []
    findings = []
    for component, derived in sorted(derivations(layouts).items(), key=lambda entry: list(Component).index(entry[0])):
        own_lists = [cut_list for cut_list in cut_lists if cut_list.component is component]
        percent = Decimal(str(options.allowances.get(component, 0)))
        if own_lists:
            line = _line(component, derived, _bar_order(own_lists, percent), UnitCode.METRE, MM_PER_M)
        else:
            own_items = [item for item in items if item.component is component]
            count = sum(derivation.count for derivation in derived)
            line = _line(component, derived, _piece_order(count, own_items, percent), UnitCode.PIECE, 1)
            if not own_items:
                message = f"{COMPONENT_NAMES[component]}: {count} needed, and the range that was asked for holds none."
                findings.append(finding(FindingCode.NOT_IN_RANGE, message, None, component=component))
        lines.append(line)
        findings += _short_of_stock(line)
    return tuple(lines), in_order(findings)


@dataclass(frozen=True, slots=True)
class _Order:
    """Whole mm or pieces: net - unsupplied + waste + reusable + allowance + spare = ordered."""

    entries: tuple[OrderEntry, ...]
    net: int
    unsupplied: int
    reusable: int
    allowance: int
    spare: int
    ordered: int

    @property
    def waste(self) -> int:
        return self.ordered - (self.net - self.unsupplied) - self.reusable - self.allowance - self.spare


def _bar_order(cut_lists: Sequence[BarCutList], percent: Decimal) -> _Order:
    bars = [bar for cut_list in cut_lists for bar in cut_list.bars]
    unsupplied = sum(member.length_mm for cut_list in cut_lists for member in cut_list.unplaced)
    net = sum(cut.length_mm for bar in bars for cut in bar.cuts) + unsupplied
    needed = Counter(bar.item for bar in bars)
    sizes = sorted(needed, key=lambda item: item.length_mm or 0)
    extra = Counter({sizes[-1]: _share(net, percent, sizes[-1].length_mm or 0)}) if sizes else Counter[Item]()
    entries = tuple(_entry(item, needed[item], extra[item], -(-(needed[item] + extra[item]) // item.pack_size)) for item in sizes)

    def length(pieces: Counter[Item]) -> int:
        return sum((item.length_mm or 0) * count for item, count in pieces.items())

    return _Order(
        entries=entries,
        net=net,
        unsupplied=unsupplied,
        reusable=sum(bar.remainder_mm for bar in bars if bar.reusable),
        allowance=length(extra),
        spare=length(Counter({entry.item: entry.quantity - entry.needed - entry.allowance for entry in entries})),
        ordered=length(Counter({entry.item: entry.quantity for entry in entries})),
    )


def _piece_order(net: int, items: Sequence[Item], percent: Decimal) -> _Order:
    if not items:
        return _Order((), net, net, 0, 0, 0, 0)
    allowance = _share(net, percent, 1)
    entries = []
    to_need, to_allow = net, allowance
    for item, packs in choose_packs(net + allowance, items):
        quantity = packs * item.pack_size
        needed = min(quantity, to_need)
        allowed = min(quantity - needed, to_allow)
        entries.append(_entry(item, needed, allowed, packs))
        to_need, to_allow = to_need - needed, to_allow - allowed
    ordered = sum(entry.quantity for entry in entries)
    return _Order(tuple(entries), net, 0, 0, allowance, ordered - net - allowance, ordered)


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


def _line(component: Component, derived: Sequence[Derivation], order: _Order, unit: UnitCode, per_unit: int) -> ScheduleLine:
    rooms: Counter[int] = Counter()
    for derivation in derived:
        rooms[derivation.room] += derivation.count * (derivation.length_mm or 1)
    return ScheduleLine(
        component=component,
        description=COMPONENT_NAMES[component],
        unit=unit,
        net_quantity=order.net / per_unit,
        unsupplied_quantity=order.unsupplied / per_unit,
        waste_quantity=order.waste / per_unit,
        reusable_quantity=order.reusable / per_unit,
        allowance_quantity=order.allowance / per_unit,
        spare_quantity=order.spare / per_unit,
        ordered_quantity=order.ordered / per_unit,
        mass_kg=None,
        line_price_minor=None,
        order=order.entries,
        rooms=tuple((room, quantity / per_unit) for room, quantity in sorted(rooms.items())),
        derivation=tuple(derived),
    )


def _short_of_stock(line: ScheduleLine) -> list[Finding]:
    findings = []
    for entry in line.order:
        on_hand = entry.item.on_hand
        if on_hand is not None and on_hand < entry.quantity:
            size = f" {entry.item.length_mm} mm" if line.unit is UnitCode.METRE else ""
            sku = f" ({entry.item.sku})" if entry.item.sku else ""
            message = (
                f"{line.description}{size}{sku}: {entry.quantity} to order, {on_hand} on hand, {entry.quantity - on_hand} short."
            )
            findings.append(finding(FindingCode.STOCK_SHORT, message, None, component=line.component))
    return findings
