"""What to order: one line for each component that the layouts use, and how the order differs from what is used (rules Q1, Q2)."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from service.engine.findings import finding, in_order
from service.engine.inputs import Item, Options
from service.engine.order_results import BarCutList, Derivation, FlatCutList, ScheduleLine
from service.engine.parameters import Parameters
from service.engine.quantities.derivations import derivations
from service.engine.quantities.orders import PARTS, Order, bar_order, flat_order, piece_order, screw_order, yield_order
from service.engine.results import Finding, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import COMPONENT_NAMES, COMPONENT_UNITS, UNIT_NAMES, Component, UnitCode


def schedule(
    layouts: Sequence[WallLayout],
    cut_lists: Sequence[BarCutList],
    flat_cut_lists: Sequence[FlatCutList],
    items: Sequence[Item],
    options: Options,
    p: Parameters,
) -> tuple[tuple[ScheduleLine, ...], tuple[Finding, ...]]:
    """Lines without prices and masses, in the order of the components; what the range lacks, and what stock on hand lacks.

    Bars are counted in metres from their cut lists, sheets and rolls in square metres from theirs, tapes, beads, sealant,
    compound and adhesive by what a piece of them yields, everything else in pieces. An allowance is a percentage of the net
    quantity, made up to whole bars or sheets (of the largest size that the plan uses, so that any spoilt piece can be cut again)
    or whole pieces.
    """
    lines = []
    findings = []
    for component, derived in sorted(derivations(layouts).items(), key=lambda entry: list(Component).index(entry[0])):
        own_items = [item for item in items if item.component is component]
        bars = [cut_list for cut_list in cut_lists if cut_list.component is component]
        flats = [cut_list for cut_list in flat_cut_lists if cut_list.component is component]
        percent = Decimal(str(options.allowances.get(component, 0)))
        order = _order(component, derived, bars, flats, own_items, percent, p)
        line = _line(component, derived, order)
        lines.append(line)
        findings += _short_of_stock(line)
        if order.unsupplied and not bars and not flats:
            findings.append(_not_in_range(line))
    return tuple(lines), in_order(findings)


def _order(
    component: Component,
    derived: Sequence[Derivation],
    bars: Sequence[BarCutList],
    flats: Sequence[FlatCutList],
    items: Sequence[Item],
    percent: Decimal,
    p: Parameters,
) -> Order:
    if bars:
        return bar_order(bars, items, percent)
    net = sum(_parts(derivation) for derivation in derived)
    if flats:
        return flat_order(flats, items, net, percent)
    if component is Component.BOARD_SCREW:
        return screw_order(derived, items, percent, p.board_thickness_mm)
    if COMPONENT_UNITS[component] is UnitCode.PIECE:
        return piece_order(net, items, percent)
    return yield_order(net, items, percent, COMPONENT_UNITS[component])


def _parts(derivation: Derivation) -> int:
    return round(derivation.quantity * PARTS)


def _line(component: Component, derived: Sequence[Derivation], order: Order) -> ScheduleLine:
    rooms: Counter[int] = Counter()
    for derivation in derived:
        rooms[derivation.room] += _parts(derivation)
    return ScheduleLine(
        component=component,
        description=COMPONENT_NAMES[component],
        unit=COMPONENT_UNITS[component],
        net_quantity=order.net / PARTS,
        unsupplied_quantity=order.unsupplied / PARTS,
        waste_quantity=order.waste / PARTS,
        reusable_quantity=order.reusable / PARTS,
        allowance_quantity=order.allowance / PARTS,
        spare_quantity=order.spare / PARTS,
        ordered_quantity=order.ordered / PARTS,
        from_offcuts_quantity=order.from_offcuts / PARTS,
        mass_kg=None,
        line_price_minor=None,
        order=order.entries,
        rooms=tuple((room, quantity / PARTS) for room, quantity in sorted(rooms.items())),
        derivation=tuple(derived),
    )


def _not_in_range(line: ScheduleLine) -> Finding:
    needed = f"{line.unsupplied_quantity:.0f}" if line.unit is UnitCode.PIECE else f"{line.unsupplied_quantity:.2f} "
    unit = "" if line.unit is UnitCode.PIECE else UNIT_NAMES[line.unit]
    message = f"{line.description}: {needed}{unit} needed, and the range that was asked for holds none."
    return finding(FindingCode.NOT_IN_RANGE, message, None, component=line.component)


def _short_of_stock(line: ScheduleLine) -> list[Finding]:
    findings = []
    for entry in line.order:
        on_hand = entry.item.on_hand
        if on_hand is not None and on_hand < entry.quantity:
            size = f" {entry.item.length_mm} mm" if line.unit is UnitCode.METRE and entry.item.length_mm else ""
            sku = f" ({entry.item.sku})" if entry.item.sku else ""
            message = (
                f"{line.description}{size}{sku}: {entry.quantity} to order, {on_hand} on hand, {entry.quantity - on_hand} short."
            )
            findings.append(finding(FindingCode.STOCK_SHORT, message, None, component=line.component))
    return findings
