"""Members become labelled cuts. Plans are small enough to be checked in the head, or come from published problems."""

from collections import Counter
from decimal import Decimal

from hand_made import bar, layout, members

from service.engine.inputs import Options
from service.engine.order_results import BarCutList
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.stock import stock_lengths_mm
from service.finding_codes import FindingCode, Severity
from service.vocabulary import Component, CutStatus, Objective, Pool, Role


def cut(layouts, items, reusable_from_mm=600, **options):
    return cut_bars(layouts, items, Options(**options), reusable_from_mm)


def only(layouts, items, **options) -> BarCutList:
    ((cut_list,), findings) = cut(layouts, items, **options)
    assert findings == ()
    return cut_list


def labels(cut_list: BarCutList) -> list[list[str]]:
    return [[c.member.id for c in b.cuts] for b in cut_list.bars]


def test_two_studs_and_two_short_pieces_come_off_two_bars_alike():
    # 2390 + 600 = 2990, so each bar of 3000 holds one of each and 10 are left; one bar cannot hold 5980.
    cut_list = only([layout(1, 1, members(1, 1, 2390, 2390, 600, 600))], [bar(3000)])
    assert labels(cut_list) == [["1/1/stud-01", "1/1/stud-03"], ["1/1/stud-02", "1/1/stud-04"]]
    assert [(b.bar, b.pattern, b.remainder_mm, b.reusable) for b in cut_list.bars] == [(1, 1, 10, False), (2, 1, 10, False)]
    assert (cut_list.objective, cut_list.used, cut_list.lower_bound, cut_list.status) == (
        Objective.LENGTH, 6000, 6000, CutStatus.OPTIMAL,
    )  # fmt: skip


def test_a_house_from_free_lengths_takes_33_m_60():
    # 7 × 2400, 5 × 1200, 6 × 900, 9 × 580: 33.42 m of pieces. From 2400, 3000 and 3600 the optimum is 33.60 m, from 3000 alone
    # 12 bars (both proved with an arc-flow model, a second method).
    pieces = members(1, 1, *[2400] * 7, *[1200] * 5, *[900] * 6, *[580] * 9)
    assert only([layout(1, 1, pieces)], [bar(2400), bar(3000), bar(3600)]).used == 33600
    assert only([layout(1, 1, pieces)], [bar(3000)]).used == 36000


def test_with_prices_the_cheapest_plan_is_sought():
    # Stock 5, 6, 9 at 6, 7, 10; 20 pieces of 2, 10 of 3, 20 of 4: least cost 170 (Gilmore and Gomory 1961, in their manner).
    pieces = members(1, 1, *[200] * 20, *[300] * 10, *[400] * 20)
    cut_list = only([layout(1, 1, pieces)], [bar(500, 6), bar(600, 7), bar(900, 10)])
    assert (cut_list.objective, cut_list.used) == (Objective.PRICE, 170)


def test_prices_in_fractions_of_a_penny_are_added_up_exactly():
    # Two bars at 412.5: 825. The bound's proof is in the same unit.
    cut_list = only([layout(1, 1, members(1, 1, 2390, 2390))], [bar(3000, Decimal("412.5"))])
    assert cut_list.used == cut_list.lower_bound == 825
    assert cut_list.certificate is not None
    assert cut_list.certificate["proves"] == 825
    worth = {entry["length_mm"]: entry["value"] for entry in cut_list.certificate["values"]}
    assert 824 < Decimal(2 * worth[2390]) / cut_list.certificate["scale"] <= 825


def test_one_length_without_a_price_leaves_length_to_be_saved():
    cut_list = only([layout(1, 1, members(1, 1, 2390))], [bar(3000, 500), bar(2400)])
    assert (cut_list.objective, cut_list.used) == (Objective.LENGTH, 2400)


def test_of_two_items_of_one_length_the_cheaper_is_taken():
    cut_list = only([layout(1, 1, members(1, 1, 2390))], [bar(3000, 500, sku="A"), bar(3000, 400, sku="B")])
    assert [b.item.sku for b in cut_list.bars] == ["B"]


def test_what_no_stock_holds_stands_unplaced_with_a_finding_and_the_rest_is_cut():
    found = members(1, 2, 2390, 4100, 3100)
    ((cut_list,), (finding,)) = cut([layout(1, 2, found)], [bar(2400), bar(3000)])
    assert labels(cut_list) == [["1/2/stud-01"]]
    assert [m.id for m in cut_list.unplaced] == ["1/2/stud-02", "1/2/stud-03"]
    assert (finding.code, finding.severity, finding.room, finding.wall, finding.component) == (
        FindingCode.NO_STOCK_LONG_ENOUGH, Severity.ERROR, 1, 2, Component.C_STUD,
    )  # fmt: skip
    assert "1/2/stud-02 (4100 mm), 1/2/stud-03 (3100 mm)" in finding.message
    assert "the longest is 3000 mm" in finding.message


def test_with_no_stock_at_all_everything_is_unplaced():
    ((cut_list,), (finding,)) = cut([layout(1, 1, members(1, 1, 2390))], [])
    assert (cut_list.bars, len(cut_list.unplaced), cut_list.used) == ((), 1, 0)
    assert "the range holds none at all" in finding.message


def test_the_saw_takes_its_kerf_between_cuts_and_the_last_may_fall_in_the_waste():
    # 1498 + 3 + 1498 = 2999 fits 3000; after a second saw cut nothing is left. 1500 + 3 + 1500 = 3003 does not fit.
    together = only([layout(1, 1, members(1, 1, 1498, 1498))], [bar(3000)], kerf_mm=3)
    assert [b.remainder_mm for b in together.bars] == [0]
    apart = only([layout(1, 1, members(1, 1, 1500, 1500))], [bar(3000)], kerf_mm=3)
    assert [b.remainder_mm for b in apart.bars] == [1497, 1497]


def test_a_remainder_is_reusable_from_600_on():
    # 3000 - 2400 = 600, 3000 - 2401 = 599
    cut_list = only([layout(1, 1, members(1, 1, 2400, 2401))], [bar(3000)])
    assert {b.remainder_mm: b.reusable for b in cut_list.bars} == {600: True, 599: False}


def test_rooms_that_share_no_bars_have_a_list_each():
    layouts = [layout(1, 1, members(1, 1, 1400)), layout(2, 1, members(2, 1, 1400))]
    assert len(only(layouts, [bar(3000)]).bars) == 1  # 2 × 1400 = 2800
    (first, second), _ = cut(layouts, [bar(3000)], pool=Pool.ROOM)
    assert (first.room, len(first.bars), second.room, len(second.bars)) == (1, 1, 2, 1)


def test_a_bar_is_cut_for_one_room_wherever_it_can_be():
    # Three rooms with 2 × 1500 each: three bars, not one mixed.
    layouts = [layout(room, 1, members(room, 1, 1500, 1500)) for room in (1, 2, 3)]
    rooms = [{c.member.room for c in b.cuts} for b in only(layouts, [bar(3000)]).bars]
    assert rooms == [{1}, {2}, {3}]


def test_bars_of_many_cuts_choose_their_room_before_bars_of_one():
    # 3600 = 2490 + 890 for each room; what 2490s are left have 2700s of their own. Were the plain bars filled first, in survey
    # order, they would take all of room 1's studs and leave its short studs to be cut with room 2's.
    layouts = [layout(room, 1, members(room, 1, 2490, 2490, 2490, 890)) for room in (1, 2)]
    cut_list = only(layouts, [bar(2700), bar(3600)])
    assert [sorted({c.member.room for c in b.cuts}) for b in cut_list.bars if len(b.cuts) > 1] == [[1], [2]]


def test_cuts_stand_longest_first_and_bars_by_how_often_their_pattern_is_cut():
    cut_list = only([layout(1, 1, members(1, 1, 900, 2000, 2900, 2900, 2900))], [bar(3000)])
    assert [[c.length_mm for c in b.cuts] for b in cut_list.bars] == [[2900], [2900], [2900], [2000, 900]]
    assert [b.pattern for b in cut_list.bars] == [1, 1, 1, 2]


def test_components_are_cut_from_their_own_stock():
    found = (*members(1, 1, 2390), *members(1, 1, 2990, role=Role.FLOOR_CHANNEL))
    lists, findings = cut([layout(1, 1, found)], [bar(2400)])
    assert [(entry.component, len(entry.bars)) for entry in lists] == [(Component.C_STUD, 1), (Component.U_CHANNEL, 0)]
    assert Counter(f.component for f in findings) == {Component.U_CHANNEL: 1}


def test_stock_lengths_are_listed_once_shortest_first():
    assert stock_lengths_mm([bar(3000), bar(2400), bar(3000, 500)]) == {Component.C_STUD: (2400, 3000)}
