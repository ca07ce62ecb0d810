"""What must hold of schedule and cut lists for any survey, range and options: checked on random rooms."""

import random
from collections import Counter, defaultdict
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from rooms.surveys import cases, random_case

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Options, TakeoffInput
from service.engine.recipe import take_off
from service.engine.results import Takeoff
from service.snapshots.digest import digest
from service.snapshots.encode import encode
from service.vocabulary import Component, Currency, FindingCode, Pool

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
    assert {line.component: Decimal(str(line.net_quantity)) for line in takeoff.schedule} == {c: n for c, n in uses.items() if n}
    for line in takeoff.schedule:
        assert sum(Decimal(str(net)) for _, net in line.rooms) == Decimal(str(line.net_quantity))
        derived = sum(d.count * (Decimal(d.length_mm) / 1000 if d.length_mm else 1) for d in line.derivation)
        assert derived == Decimal(str(line.net_quantity))


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
        size = {entry.item: Decimal(entry.item.length_mm) / 1000 if line.unit == "MTR" else 1 for entry in line.order}
        assert sum(entry.quantity * size[entry.item] for entry in line.order) == ordered
        for entry in line.order:
            assert entry.quantity == entry.packs * entry.item.pack_size >= entry.needed + entry.allowance


@settings(max_examples=25)
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
