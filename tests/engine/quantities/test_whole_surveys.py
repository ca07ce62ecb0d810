"""What must hold of schedule and cut lists for any survey, range and options: checked on random rooms."""

import random
from collections import Counter, defaultdict
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from rooms.surveys import cases, random_case

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Options, TakeoffInput
from service.engine.order_results import Takeoff
from service.engine.recipe import take_off
from service.finding_codes import FindingCode
from service.snapshots.digest import digest
from service.snapshots.encode import encode
from service.vocabulary import COMPONENT_UNITS, Component, Currency, Pool, UnitCode

COUNTED = [item for item in BUILTIN_RANGE if item.component not in (Component.C_STUD, Component.U_CHANNEL)]

ALLOWANCES = ({}, {Component.C_STUD: 5.0}, {Component.FRAME_SCREW: 2.5, Component.U_CHANNEL: 0.1})


@st.composite
def inputs(draw: st.DrawFn) -> TakeoffInput:
    case = draw(cases())
    channels = draw(st.sampled_from((case.channel_stock_mm, (1800,), ())))
    priced = draw(st.booleans())
    pack = draw(st.sampled_from((1, 1, 10)))

    def bars(component: Component, lengths: tuple[int, ...]) -> list[Item]:
        price = draw(st.sampled_from((150, Decimal("150.5"))))
        return [
            Item(
                component=component,
                length_mm=n,
                pack_size=pack,
                price_minor=price + n // 10 if priced else None,
                mass_kg=n / 2000,
            )
            for n in lengths
        ]

    return TakeoffInput(
        rooms=case.rooms,
        parameters=case.parameters,
        items=(*bars(Component.C_STUD, case.stud_stock_mm), *bars(Component.U_CHANNEL, channels), *COUNTED),
        currency=Currency.GBP if priced else None,
        options=Options(
            pool=draw(st.sampled_from(Pool)),
            kerf_mm=case.kerf_mm,
            allowances=draw(
                st.sampled_from(({}, {Component.C_STUD: 5.0}, {Component.FRAME_SCREW: 2.5, Component.U_CHANNEL: 0.1}))
            ),
        ),
    )


@settings(max_examples=60)
@given(inputs())
def test_everything_adds_up(asked):
    takeoff = take_off(asked)
    cut_exactly_once(takeoff)
    bars_hold_their_cuts(takeoff, asked.options.kerf_mm)
    every_flat_piece_lies_on_one_sheet(takeoff)
    schedule_is_the_layout(takeoff)
    lines_add_up(takeoff)


def cut_exactly_once(takeoff: Takeoff) -> None:
    members = {member.id: member for layout in takeoff.layouts for member in layout.members}
    cut = Counter(c.member.id for entry in takeoff.cut_lists for b in entry.bars for c in b.cuts)
    unplaced = Counter(member.id for entry in takeoff.cut_lists for member in entry.unplaced)
    assert cut + unplaced == Counter(members.keys())
    assert all(c.length_mm == members[c.member.id].length_mm for entry in takeoff.cut_lists for b in entry.bars for c in b.cuts)
    said = " ".join(f.message for f in takeoff.findings if f.code is FindingCode.NO_STOCK_LONG_ENOUGH)
    assert all(f"{id} (" in said for id in unplaced)


def every_flat_piece_lies_on_one_sheet(takeoff: Takeoff) -> None:
    pieces = {
        piece.id: piece
        for layout in takeoff.layouts
        for piece in (*layout.boards, *layout.reveals, *layout.insulation, *layout.membrane)
    }
    laid = Counter(q.piece.id for entry in takeoff.flat_cut_lists for sheet in entry.sheets for q in sheet.pieces)
    unplaced = Counter(piece.id for entry in takeoff.flat_cut_lists for piece in entry.unplaced)
    assert laid + unplaced == Counter(pieces.keys())
    said = " ".join(f.message for f in takeoff.findings if f.code is FindingCode.NO_STOCK_LONG_ENOUGH)
    assert all(f"{id} (" in said for id in unplaced)
    for entry in takeoff.flat_cut_lists:
        assert entry.lower_bound <= entry.used
        for sheet in entry.sheets:
            for q in sheet.pieces:
                size = (q.piece.width_mm, q.piece.length_mm)
                wide, long = size[::-1] if q.turned else size
                assert q.x_mm >= 0 and q.y_mm >= 0
                assert q.x_mm + wide <= sheet.item.width_mm + 0.05 and q.y_mm + long <= sheet.item.length_mm + 0.05


def bars_hold_their_cuts(takeoff: Takeoff, kerf_mm: int) -> None:
    for entry in takeoff.cut_lists:
        alike = defaultdict(set)
        for b in entry.bars:
            room_left = b.item.length_mm - sum(c.length_mm for c in b.cuts) - kerf_mm * (len(b.cuts) - 1)
            assert room_left >= 0
            assert b.remainder_mm == max(0, room_left - kerf_mm)
            alike[b.pattern].add((b.item.length_mm, tuple(c.length_mm for c in b.cuts)))
        assert [b.bar for b in entry.bars] == list(range(1, len(entry.bars) + 1))
        assert all(len(bars) == 1 for bars in alike.values())
        assert len({next(iter(bars)) for bars in alike.values()}) == len(alike)
        assert entry.lower_bound <= entry.used


def schedule_is_the_layout(takeoff: Takeoff) -> None:
    uses = Counter()
    for layout in takeoff.layouts:
        for member in layout.members:
            uses[member.component] += Decimal(member.length_mm) / 1000
        for component in (Component.BRACKET, Component.BRACKET_CLIP):
            uses[component] += len(layout.brackets)
        for fixings in layout.fixings:
            uses[fixings.component] += fixings.count
        for usage in layout.usages:
            uses[usage.component] += millionths(usage.quantity)
        for piece in (*layout.boards, *layout.reveals, *layout.insulation, *layout.membrane):
            uses[piece.component] += Decimal(piece.net_mm2) / 1_000_000
            assert piece.area_mm2 - 0.001 * piece.area_mm2 - 500 <= piece.net_mm2 <= piece.area_mm2 + 1
    net = {line.component: Decimal(str(line.net_quantity)) for line in takeoff.schedule}
    assert net.keys() == {component for component, amount in uses.items() if amount}
    # Equal pieces of a wall are multiplied and not added: a millionth of the unit a piece is what rounding may shift.
    assert all(abs(amount - uses[component]) <= Decimal("0.0005") for component, amount in net.items())
    assert all(amount == uses[c] for c, amount in net.items() if COMPONENT_UNITS[c] is UnitCode.PIECE)
    assert all(net[c] == uses[c] for c in (Component.C_STUD, Component.U_CHANNEL) if c in net)
    for line in takeoff.schedule:
        assert sum(Decimal(str(net)) for _, net in line.rooms) == Decimal(str(line.net_quantity))
        assert sum(millionths(d.quantity) for d in line.derivation) == Decimal(str(line.net_quantity))
        for d in line.derivation:
            if d.length_mm:
                assert d.count * Decimal(d.length_mm) / 1000 == millionths(d.quantity)


def millionths(quantity: float) -> Decimal:
    return Decimal(round(quantity * 1_000_000)) / 1_000_000


def lines_add_up(takeoff: Takeoff) -> None:
    for line in takeoff.schedule:
        net, unsupplied, waste, reusable, allowance, spare, ordered = (
            Decimal(str(quantity))
            for quantity in (
                line.net_quantity, line.unsupplied_quantity, line.waste_quantity, line.reusable_quantity,
                line.allowance_quantity, line.spare_quantity, line.ordered_quantity,
            )
        )  # fmt: skip
        assert net - unsupplied + waste + reusable + allowance + spare == ordered
        assert min(waste, reusable, allowance, spare, unsupplied) >= 0
        assert ordered >= net - unsupplied
        assert sum(entry.quantity * size_of(entry.item, line.unit) for entry in line.order) == ordered
        for entry in line.order:
            assert entry.quantity == entry.packs * entry.item.pack_size >= entry.needed + entry.allowance


def size_of(item: Item, unit: UnitCode) -> Decimal:
    """What one piece of an item counts for in the schedule's unit."""
    if item.yield_per_piece:
        return Decimal(str(item.yield_per_piece))
    if unit is UnitCode.SQUARE_METRE:
        return Decimal(item.width_mm * item.length_mm) / 1_000_000
    return Decimal(item.length_mm) / 1000 if unit is UnitCode.METRE else Decimal(1)


@settings(max_examples=10)
@given(inputs(), st.randoms(use_true_random=False))
def test_the_order_in_which_items_are_offered_makes_no_difference_to_a_byte(asked, shuffle):
    items = list(asked.items)
    shuffle.shuffle(items)
    again = TakeoffInput(
        rooms=asked.rooms, parameters=asked.parameters, items=tuple(items), currency=asked.currency, options=asked.options
    )
    first, second = encode(asked, take_off(asked)), encode(again, take_off(again))
    assert first.parts == second.parts
    assert first.summary == second.summary
    assert digest(asked) == digest(again)


def test_the_random_rooms_reach_what_is_checked():
    reached = Counter()
    for seed in range(24):
        case = random_case(random.Random(seed))
        items = [Item(component=Component.C_STUD, length_mm=n) for n in case.stud_stock_mm]
        items += [Item(component=Component.U_CHANNEL, length_mm=n) for n in (case.channel_stock_mm if seed % 4 else ())]
        takeoff = take_off(TakeoffInput(rooms=case.rooms, parameters=case.parameters, items=tuple(items)))
        bars = [b for entry in takeoff.cut_lists for b in entry.bars]
        reached["members"] += any(layout.members for layout in takeoff.layouts)
        reached["several on a bar"] += any(len(b.cuts) > 1 for b in bars)
        reached["alike"] += len(bars) > len({(b.item, b.pattern) for b in bars})
        reached["reusable"] += any(b.reusable for b in bars)
        reached["unplaced"] += any(entry.unplaced for entry in takeoff.cut_lists)
    assert min(reached["members"], reached["several on a bar"], reached["alike"]) >= 16
    assert min(reached["reusable"], reached["unplaced"]) >= 3
