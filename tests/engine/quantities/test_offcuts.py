"""Offcuts and stock on hand: there is only so much of them, and what is cut from them is not ordered."""

from dataclasses import replace

from hand_made import bar, layout, members

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Options, Room, TakeoffInput, Wall
from service.engine.order_results import ScheduleLine
from service.engine.parameters import Parameters
from service.engine.pricing.prices import price
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.flat_cut_lists import cut_flat
from service.engine.quantities.schedule import schedule
from service.engine.recipe import take_off
from service.engine.results import FlatPiece
from service.finding_codes import FindingCode
from service.vocabulary import Component, CutStatus, Objective, PieceRole, Pool


def made(layouts, items, offcuts=(), **options):
    """Cut lists of bars, the schedule's line of studs, findings."""
    chosen, numbered = Options(**options), list(enumerate(offcuts, 1))
    lists, unplaced = cut_bars(layouts, items, chosen, 600, numbered)
    lines, short = schedule(layouts, lists, (), items, chosen, Parameters())
    return lists, {line.component: line for line in price(lines)}[Component.C_STUD], (*unplaced, *short)


def bars_of(cut_list):
    return [(b.offcut, b.item.length_mm, [c.length_mm for c in b.cuts], b.remainder_mm) for b in cut_list.bars]


def figures(line: ScheduleLine) -> tuple[float, ...]:
    """net, unsupplied, waste, reusable, allowance, spare; ordered, from offcuts."""
    return (
        line.net_quantity, line.unsupplied_quantity, line.waste_quantity, line.reusable_quantity,
        line.allowance_quantity, line.spare_quantity, line.ordered_quantity, line.from_offcuts_quantity,
    )  # fmt: skip


TWO_STUDS = layout(1, 1, members(1, 1, 2390, 2390))


def test_what_an_offcut_gives_is_not_ordered_and_all_figures_still_add_up():
    # One stud from 2500 (110 left, waste), one from a new bar of 3000 (610 left, kept).
    # 4.78 + 0.11 waste + 0.61 reusable = 5.50 = 3.00 ordered + 2.50 from offcuts.
    (cut_list,), line, findings = made([TWO_STUDS], [bar(3000)], [bar(2500)])
    assert bars_of(cut_list) == [(None, 3000, [2390], 610), (1, 2500, [2390], 110)]
    assert (cut_list.used, cut_list.lower_bound, cut_list.status) == (3000, 3000, CutStatus.OPTIMAL)
    assert figures(line) == (4.78, 0, 0.11, 0.61, 0, 0, 3.0, 2.5)
    assert [(e.item.length_mm, e.needed, e.quantity) for e in line.order] == [(3000, 1, 1)]
    assert findings == ()


def test_a_line_that_offcuts_cover_orders_nothing_costs_nothing_and_weighs_nothing():
    # 2 × 2390 from two offcuts of 2400: 2 × 10 waste.
    (cut_list,), line, _ = made([TWO_STUDS], [bar(3000, 500)], [bar(2400), bar(2400)])
    assert (cut_list.objective, cut_list.used) == (Objective.PRICE, 0)
    assert [(b.offcut, b.pattern) for b in cut_list.bars] == [(1, 1), (2, 1)]
    assert figures(line) == (4.78, 0, 0.02, 0, 0, 0, 0, 4.8)
    assert (line.order, line.line_price_minor, line.mass_kg) == ((), 0, 0.0)


def test_an_allowance_on_what_offcuts_cover_is_bought_of_the_ranges_largest():
    # 5 % of 4780 is 239 mm: one bar.
    _, line, _ = made([TWO_STUDS], [bar(2400), bar(3000)], [bar(2400), bar(2400)], allowances={Component.C_STUD: 5})
    assert [(e.item.length_mm, e.needed, e.allowance, e.quantity) for e in line.order] == [(3000, 0, 1, 1)]
    assert figures(line) == (4.78, 0, 0.02, 0, 3.0, 0, 3.0, 4.8)


def test_offcuts_alone_serve_as_far_as_they_go():
    # No range at all: one stud from the offcut, the other unplaced with a finding.
    (cut_list,), line, (finding,) = made([TWO_STUDS], [], [bar(2600)])
    assert (len(cut_list.bars), len(cut_list.unplaced)) == (1, 1)
    assert finding.code is FindingCode.NO_STOCK_LONG_ENOUGH
    assert figures(line) == (4.78, 2.39, 0.21, 0, 0, 0, 0, 2.6)


def test_rooms_that_share_no_bars_take_offcuts_in_survey_order_and_none_twice():
    layouts = [layout(room, 1, members(room, 1, 2390)) for room in (1, 2, 3)]
    lists, line, _ = made(layouts, [bar(3000)], [bar(2450), bar(2400)], pool=Pool.ROOM)
    # Each costs nothing, so room 1 takes the one that wastes less, room 2 the other, room 3 a new bar.
    assert [[(b.offcut, b.item.length_mm) for b in entry.bars] for entry in lists] == [[(2, 2400)], [(1, 2450)], [(None, 3000)]]
    assert (line.ordered_quantity, line.from_offcuts_quantity) == (3.0, 4.85)


def test_a_leftover_long_enough_to_keep_is_worth_having():
    # At one price a stud of 1700 leaves 700 of 2400 or 1300 of 3000. From 1000 on leftovers are kept: the longer bar it is.
    (cut_list,), _ = cut_bars([layout(1, 1, members(1, 1, 1700))], [bar(2400, 500), bar(3000, 500)], Options(), 1000)
    assert bars_of(cut_list) == [(None, 3000, [1700], 1300)]
    (cut_list,), _ = cut_bars([layout(1, 1, members(1, 1, 1700))], [bar(2400, 500), bar(3000, 500)], Options(), 2000)
    assert bars_of(cut_list) == [(None, 2400, [1700], 700)]


def test_stock_on_hand_is_not_planned_beyond_where_other_stock_serves():
    # Two of 2400 would be the least, but one is there.
    (cut_list,), line, findings = made([TWO_STUDS], [bar(2400, on_hand=1), bar(3000)])
    assert [b.item.length_mm for b in cut_list.bars] == [3000, 2400]
    assert (line.ordered_quantity, findings) == (5.4, ())


def test_stock_on_hand_that_cannot_suffice_is_planned_freely_and_what_is_short_is_said():
    (cut_list,), _, (finding,) = made([TWO_STUDS], [bar(2400, on_hand=1)])
    assert [b.item.length_mm for b in cut_list.bars] == [2400, 2400]
    assert finding.code is FindingCode.STOCK_SHORT
    assert "2 to order, 1 on hand, 1 short" in finding.message


def test_what_one_room_takes_of_the_stock_on_hand_the_next_does_not_find():
    layouts = [layout(room, 1, members(room, 1, 2390)) for room in (1, 2)]
    lists, _, findings = made(layouts, [bar(2400, on_hand=1), bar(3000)], pool=Pool.ROOM)
    assert [entry.bars[0].item.length_mm for entry in lists] == [2400, 3000]
    assert findings == ()


def test_of_stock_of_one_length_the_cheaper_is_used_up_before_the_dearer():
    items = [bar(2400, 500, sku="A"), bar(2400, 400, sku="B", on_hand=1)]
    (cut_list,), _, findings = made([TWO_STUDS], items)
    assert sorted(b.item.sku for b in cut_list.bars) == ["A", "B"]
    assert (cut_list.used, findings) == (900, ())


def board(number: int, width_mm: float, length_mm: float, room: int = 1) -> FlatPiece:
    return FlatPiece(
        id=f"{room}/1/board-{number:02}", role=PieceRole.BOARD, component=Component.PLASTERBOARD, room=room, wall=1, x_mm=0,
        y_mm=0, width_mm=width_mm, length_mm=length_mm, height_left_mm=length_mm, height_right_mm=length_mm, rules=("B2",),
        area_mm2=width_mm * length_mm,
    )  # fmt: skip


def sheet(width_mm: int, length_mm: int, **rest: object) -> Item:
    return Item(component=Component.PLASTERBOARD, width_mm=width_mm, length_mm=length_mm, **rest)  # type: ignore[arg-type]


def test_boards_are_cut_from_offcuts_too():
    # 1200 × 2390 from a new sheet of 1200 × 2400; 600 × 1000 from an offcut of 800 × 1200, not from a second sheet.
    # 2.868 + 0.6 net, 0.012 + 0.36 waste: 3.84 = 2.88 ordered + 0.96 from offcuts. No remainder is 600 both ways.
    wall = replace(layout(1, 1), boards=(board(1, 1200, 2390), board(2, 600, 1000)))
    numbered = [(7, sheet(800, 1200))]
    (cut_list,), findings = cut_flat([wall], [sheet(1200, 2400)], Options(), 600, numbered)
    assert [(s.offcut, s.item.width_mm, [q.piece.id for q in s.pieces]) for s in cut_list.sheets] == [
        (None, 1200, ["1/1/board-01"]), (7, 800, ["1/1/board-02"]),
    ]  # fmt: skip
    assert (cut_list.objective, cut_list.used, cut_list.lower_bound, findings) == (Objective.COUNT, 1, 1, ())
    lines, _ = schedule([wall], (), (cut_list,), [sheet(1200, 2400)], Options(), Parameters())
    assert figures(lines[0]) == (3.468, 0, 0.372, 0, 0, 0, 2.88, 0.96)


def test_boards_on_hand_are_not_planned_beyond_where_others_serve():
    wall = replace(layout(1, 1), boards=(board(1, 1200, 2390), board(2, 1200, 2390)))
    (cut_list,), _ = cut_flat([wall], [sheet(1200, 2400, on_hand=1), sheet(1200, 3000)], Options(), 600)
    assert [s.item.length_mm for s in cut_list.sheets] == [3000, 2400]
    (cut_list,), _ = cut_flat([wall], [sheet(1200, 2400, on_hand=1)], Options(), 600)
    assert [s.item.length_mm for s in cut_list.sheets] == [2400, 2400]


ROOM = Room(walls=(Wall(length_mm=2400, height_left_mm=2400, height_right_mm=2400),))


def test_an_offcut_of_another_thickness_is_no_offer():
    # Two boards of 1200: one of each thickness lies there, and 12.5 is asked for.
    offcuts = tuple(sheet(1200, 2400, thickness_mm=t) for t in (9.5, 12.5))
    taken = take_off(TakeoffInput(rooms=(ROOM,), items=BUILTIN_RANGE, offcuts=offcuts))
    (boards,) = (entry for entry in taken.flat_cut_lists if entry.component is Component.PLASTERBOARD)
    assert [s.item.thickness_mm for s in boards.sheets if s.offcut is not None] == [12.5]


def test_layouts_are_set_out_for_what_can_be_bought_and_not_for_offcuts():
    # A run of 4000 is split at 3000, though an offcut of 4200 lies there; the whole pieces are then cut from it.
    room = Room(walls=(replace(ROOM.walls[0], length_mm=4000),))
    plain = TakeoffInput(rooms=(room,), items=BUILTIN_RANGE)
    with_offcut = replace(plain, offcuts=(Item(component=Component.U_CHANNEL, length_mm=4200),))
    assert take_off(with_offcut).layouts == take_off(plain).layouts
