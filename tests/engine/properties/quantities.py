"""Referee of a takeoff: cut lists against members, the schedule against layouts. Lists breaches as sentences."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace

from service.engine.inputs import Item, TakeoffInput
from service.engine.order_results import BarCutList, CutBar, CutSheet, ScheduleLine, Takeoff
from service.engine.recipe import item_order
from service.engine.results import FlatPiece, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import COMPONENT_UNITS, Component, CutStatus, Objective, Pool, UnitCode

PARTS_PER_M = 1000
MM2_PER_M2 = 1e6
BARS = (Component.C_STUD, Component.U_CHANNEL)


def every_member_is_one_cut_or_unplaced(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    members = {m.id: m for layout in takeoff.layouts for m in layout.members}
    seen: Counter[str] = Counter()
    for cut_list in takeoff.cut_lists:
        for bar in cut_list.bars:
            for cut in bar.cuts:
                seen[cut.member.id] += 1
                if cut.member != members.get(cut.member.id) or cut.length_mm != cut.member.length_mm:
                    yield f"{cut.member.id} is cut {cut.length_mm} long, the layout has {members.get(cut.member.id)}"
                if cut.member.component is not cut_list.component or cut_list.room not in (None, cut.member.room):
                    yield f"{cut.member.id} is cut from {cut_list.component} of room {cut_list.room}"
        for member in cut_list.unplaced:
            seen[member.id] += 1
            said = any(
                f.code is FindingCode.NO_STOCK_LONG_ENOUGH and (f.room, f.wall) == (member.room, member.wall)
                for f in takeoff.findings
            )
            if not said:
                yield f"{member.id} is unplaced and no finding says so"
            if any(i.component is member.component and (i.length_mm or 0) >= member.length_mm for i in inputs.items):
                yield f"{member.id}, {member.length_mm} long, is unplaced though a bar is long enough"
    for id_ in members.keys() | seen.keys():
        if seen[id_] != 1:
            yield f"{id_} appears {seen[id_]} times"


def every_bar_holds_its_cuts(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    """Saw cuts between pieces and before the remainder take the kerf; the last may fall in the waste."""
    kerf, reusable = inputs.options.kerf_mm, inputs.parameters.reusable_offcut_mm
    for cut_list in takeoff.cut_lists:
        patterns: dict[int, tuple[object, ...]] = {}
        for bar in cut_list.bars:
            length = bar.item.length_mm or 0
            pieces = sum(cut.length_mm for cut in bar.cuts)
            if not _is_offered(inputs, bar) or bar.item.component is not cut_list.component:
                yield f"bar {bar.bar} is of no item offered: {bar.item}"
            if not bar.cuts or pieces + kerf * (len(bar.cuts) - 1) > length:
                yield f"{cut_list.component} bar {bar.bar}: {len(bar.cuts)} cuts of {pieces} in {length}"
            if bar.remainder_mm != max(0, length - pieces - kerf * len(bar.cuts)) or bar.reusable != (
                bar.remainder_mm >= reusable
            ):
                yield f"{cut_list.component} bar {bar.bar}: remainder {bar.remainder_mm}, reusable {bar.reusable}"
            shape = (bar.offcut is None, length, bar.item.sku, *sorted(cut.length_mm for cut in bar.cuts))
            if patterns.setdefault(bar.pattern, shape) != shape:
                yield f"{cut_list.component} bar {bar.bar} is not cut like pattern {bar.pattern}"
        if len(set(patterns.values())) != len(patterns):
            yield f"{cut_list.component}: bars cut alike have two pattern numbers"
        if [bar.bar for bar in cut_list.bars] != list(range(1, len(cut_list.bars) + 1)):
            yield f"{cut_list.component}: bars are numbered {[bar.bar for bar in cut_list.bars]}"


def every_flat_piece_is_on_one_sheet(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    """Boards, linings, insulation, membrane: on one sheet or roll of what is offered, inside it, or unplaced with a finding."""
    pieces = {p.id: p for layout in takeoff.layouts for p in _flat(layout)}
    seen: Counter[str] = Counter()
    for cut_list in takeoff.flat_cut_lists:
        for sheet in cut_list.sheets:
            wide, long = sheet.item.width_mm or 0, sheet.item.length_mm or 0
            if not _is_offered(inputs, sheet) or sheet.item.component is not cut_list.component:
                yield f"sheet {sheet.sheet} is of no item offered: {sheet.item}"
            for laid in sheet.pieces:
                seen[laid.piece.id] += 1
                across, along = (laid.piece.width_mm, laid.piece.length_mm)[:: -1 if laid.turned else 1]
                if min(laid.x_mm, laid.y_mm) < 0 or laid.x_mm + across > wide + 0.05 or laid.y_mm + along > long + 0.05:
                    yield f"{laid.piece.id} leaves sheet {sheet.sheet}"
                if laid.turned and cut_list.component is Component.PLASTERBOARD:
                    yield f"{laid.piece.id} is turned against its paper edge"
        for piece in cut_list.unplaced:
            seen[piece.id] += 1
            if not any(f.code is FindingCode.NO_STOCK_LONG_ENOUGH and piece.id in f.message for f in takeoff.findings):
                yield f"{piece.id} is unplaced and no finding says so"
        if cut_list.lower_bound > cut_list.used:
            yield f"{cut_list.component}: bound {cut_list.lower_bound} above {cut_list.used}"
        new = [sheet for sheet in cut_list.sheets if sheet.offcut is None]
        if cut_list.objective is Objective.COUNT and cut_list.used != len(new):
            yield f"{cut_list.component}: used {cut_list.used}, {len(cut_list.sheets)} are cut"
    for id_ in pieces.keys() | seen.keys():
        if seen[id_] != 1:
            yield f"{id_} appears {seen[id_]} times"


def _is_offered(inputs: TakeoffInput, cut: CutBar | CutSheet) -> bool:
    """An item of the range; or the offcut of that number, which stands for this one piece."""
    if cut.offcut is None:
        return cut.item in inputs.items
    return sorted(inputs.offcuts, key=item_order)[cut.offcut - 1] == cut.item


def no_offcut_is_cut_twice(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    """Rooms that share no bars share no offcut either."""
    bars = [bar for cut_list in takeoff.cut_lists for bar in cut_list.bars]
    sheets = [sheet for cut_list in takeoff.flat_cut_lists for sheet in cut_list.sheets]
    drawn = Counter(one.offcut for one in (*bars, *sheets) if one.offcut is not None)
    for number, times in drawn.items():
        if times > 1:
            yield f"offcut {number} is cut {times} times"


def _flat(layout: WallLayout) -> tuple[FlatPiece, ...]:
    return (*layout.boards, *layout.reveals, *layout.insulation, *layout.membrane)


def _longest_offered(inputs: TakeoffInput, component: Component) -> int:
    """Where stock runs out, what is left out is a choice that nothing is proven of."""
    return max((item.length_mm or 0 for item in (*inputs.items, *inputs.offcuts) if item.component is component), default=0)


def bounds_lie_below_plans(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    for cut_list in takeoff.cut_lists:
        place = f"{cut_list.component} of room {cut_list.room}"
        if cut_list.used != _cost(cut_list):
            yield f"{place}: used {cut_list.used}, the bars come to {_cost(cut_list)}"
        if cut_list.lower_bound > cut_list.used:
            yield f"{place}: bound {cut_list.lower_bound} above {cut_list.used}"
        ran_out = any(member.length_mm <= _longest_offered(inputs, cut_list.component) for member in cut_list.unplaced)
        if (cut_list.status is CutStatus.OPTIMAL) != (cut_list.lower_bound == cut_list.used and not ran_out):
            yield f"{place}: {cut_list.status} at bound {cut_list.lower_bound}, used {cut_list.used}"
        if cut_list.kerf_mm != inputs.options.kerf_mm:
            yield f"{place}: kerf {cut_list.kerf_mm}"
        longest = max((bar.item.length_mm or 0 for bar in cut_list.bars), default=0)
        net = sum(cut.length_mm for bar in cut_list.bars for cut in bar.cuts)
        net -= sum(item.length_mm or 0 for item in inputs.offcuts if item.component is cut_list.component)
        if cut_list.objective is Objective.LENGTH and cut_list.bars and cut_list.lower_bound < min(net, longest):
            yield f"{place}: bound {cut_list.lower_bound} below what is cut, {net}"
    pooled = {cut_list.room for cut_list in takeoff.cut_lists}
    if pooled - {None} and inputs.options.pool is Pool.PROJECT:
        yield f"bars are kept apart by room {pooled} though the project shares them"


def _cost(cut_list: BarCutList) -> object:
    if cut_list.objective is Objective.LENGTH:
        return sum(bar.item.length_mm or 0 for bar in cut_list.bars if bar.offcut is None)
    return sum(bar.item.price_minor or 0 for bar in cut_list.bars if bar.offcut is None)


def the_schedule_counts_the_layouts(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    """Net of every component, by room and in total, counted again from members, brackets and fixings; nothing is missing."""
    used: dict[Component, Counter[float]] = defaultdict(Counter)
    for layout in takeoff.layouts:
        for m in layout.members:
            used[m.component][layout.room] += m.length_mm
        for _ in layout.brackets:
            used[Component.BRACKET][layout.room] += PARTS_PER_M
            used[Component.BRACKET_CLIP][layout.room] += PARTS_PER_M
        for fixing in layout.fixings:
            used[fixing.component][layout.room] += fixing.count * PARTS_PER_M
        for usage in layout.usages:
            used[usage.component][layout.room] += usage.quantity * PARTS_PER_M
        for piece in _flat(layout):
            used[piece.component][layout.room] += piece.net_mm2 / MM2_PER_M2 * PARTS_PER_M
    lines = {line.component: line for line in takeoff.schedule}
    if len(lines) != len(takeoff.schedule) or lines.keys() != {c for c, rooms in used.items() if +rooms}:
        yield f"lines for {sorted(lines)}, used are {sorted(c for c, rooms in used.items() if +rooms)}"
    for component, line in lines.items():
        rooms = +used[component]
        near = _exact if COMPONENT_UNITS[component] is UnitCode.PIECE or component in BARS else _near
        if not near(line.net_quantity * PARTS_PER_M, sum(rooms.values())):
            yield f"{component}: net {line.net_quantity}, the layouts use {sum(rooms.values()) / PARTS_PER_M}"
        said = dict(line.rooms)
        if said.keys() != rooms.keys() or not all(near(said[room] * PARTS_PER_M, amount) for room, amount in rooms.items()):
            yield f"{component}: by room {line.rooms}, the layouts use {dict(rooms)}"
        yield from _derivation(line, takeoff)


def _near(quantity: float, counted: float) -> bool:
    """Areas and usages to half a thousandth of the unit: they are rounded piece by piece."""
    return math.isclose(quantity, counted, abs_tol=0.5)


def _exact(quantity: float, counted: float) -> bool:
    return round(quantity, 6) == counted


def _derivation(line: ScheduleLine, takeoff: Takeoff) -> Iterator[str]:
    """Q3: the terms add up to the net quantity; of a bar's component they cover each member once, with its length."""
    lengths = {m.id: m.length_mm for layout in takeoff.layouts for m in layout.members if m.component is line.component}
    total = sum(d.quantity for d in line.derivation)
    if not math.isclose(total, line.net_quantity, abs_tol=1e-6):
        yield f"{line.component}: the derivation adds up to {total}, net is {line.net_quantity}"
    if any(
        d.length_mm is not None and not math.isclose(d.quantity * PARTS_PER_M, d.count * d.length_mm) for d in line.derivation
    ):
        yield f"{line.component}: a quantity is not its count times its length"
    if not all(d.rules and d.terms for d in line.derivation):
        yield f"{line.component}: a derivation without rules or terms"
    if lengths:
        covered = Counter(member for d in line.derivation for member in d.members)
        if covered != Counter(lengths.keys()):
            yield f"{line.component}: the derivation does not cover every member once"
        for d in line.derivation:
            if d.count != len(d.members) or any(lengths.get(member) != d.length_mm for member in d.members):
                yield f"{line.component}: {d.terms} does not say the lengths of {d.members}"


def orders_supply_what_is_used(inputs: TakeoffInput, takeoff: Takeoff) -> Iterator[str]:
    """Q1: whole packs, never less than net; net - unsupplied + waste + reusable + allowance + spare = ordered + from offcuts,
    none negative; from offcuts are the whole sizes of those that are cut.
    """
    offcuts: Counter[Component] = Counter()
    for one in (b for of in takeoff.cut_lists for b in of.bars if b.offcut is not None):
        offcuts[one.item.component] += (one.item.length_mm or 0) / PARTS_PER_M
    for flat in (s for of in takeoff.flat_cut_lists for s in of.sheets if s.offcut is not None):
        offcuts[flat.item.component] += (flat.item.width_mm or 0) * (flat.item.length_mm or 0) / MM2_PER_M2
    offered = {_plain(item) for item in inputs.items}
    for line in takeoff.schedule:
        parts = (
            line.waste_quantity,
            line.reusable_quantity,
            line.allowance_quantity,
            line.spare_quantity,
            line.unsupplied_quantity,
        )
        if min(parts) < -1e-9:
            yield f"{line.component}: a quantity is negative: {parts}"
        total = line.net_quantity - line.unsupplied_quantity + sum(parts[:4])
        supplied = line.ordered_quantity + line.from_offcuts_quantity
        if not math.isclose(total, supplied, abs_tol=1e-6):
            yield f"{line.component}: parts come to {total}, ordered or from offcuts {supplied}"
        if not math.isclose(line.from_offcuts_quantity, offcuts[line.component], abs_tol=1e-6):
            yield f"{line.component}: {line.from_offcuts_quantity} from offcuts, those cut come to {offcuts[line.component]}"
        if supplied < line.net_quantity - line.unsupplied_quantity - 1e-9:
            yield f"{line.component}: ordered {line.ordered_quantity}, used {line.net_quantity}"
        per_piece = [_each(e.item, line.unit) for e in line.order]
        ordered = sum(e.quantity * each for e, each in zip(line.order, per_piece, strict=True))
        if not math.isclose(ordered, line.ordered_quantity, abs_tol=1e-6):
            yield f"{line.component}: entries come to {ordered}, ordered {line.ordered_quantity}"
        for e in line.order:
            if e.quantity != e.packs * e.item.pack_size or e.needed + e.allowance > e.quantity or _plain(e.item) not in offered:
                yield f"{line.component}: {e.needed} and {e.allowance} in {e.packs} packs of {e.item.pack_size}, {e.quantity}"
            short = e.item.on_hand is not None and e.item.on_hand < e.quantity
            said = any(f.code is FindingCode.STOCK_SHORT and f.component is line.component for f in takeoff.findings)
            if short and not said:
                yield f"{line.component}: {e.quantity} ordered, {e.item.on_hand} on hand, not said"
        some = any(i.component is line.component for i in inputs.items)
        if line.unsupplied_quantity and some and line.unit is UnitCode.PIECE and line.component is not Component.BOARD_SCREW:
            yield f"{line.component}: {line.unsupplied_quantity} unsupplied though it is offered"


def _plain(item: Item) -> Item:
    """Without its yield, which follows from parameters where the item does not say."""
    return replace(item, yield_per_piece=None)


def _each(item: Item, unit: UnitCode) -> float:
    if item.yield_per_piece:
        return item.yield_per_piece
    if unit is UnitCode.SQUARE_METRE:
        return (item.width_mm or 0) * (item.length_mm or 0) / MM2_PER_M2
    return (item.length_mm or 0) / PARTS_PER_M if unit is UnitCode.METRE else 1


TAKEOFF = (
    every_flat_piece_is_on_one_sheet,
    every_member_is_one_cut_or_unplaced,
    every_bar_holds_its_cuts,
    no_offcut_is_cut_twice,
    bounds_lie_below_plans,
    the_schedule_counts_the_layouts,
    orders_supply_what_is_used,
)


def objections(inputs: TakeoffInput, takeoff: Takeoff) -> list[str]:
    return [f"{referee.__name__}: {breach}" for referee in TAKEOFF for breach in referee(inputs, takeoff)]
