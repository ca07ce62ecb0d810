"""Lines of the schedule, each figure worked out beside it (rules Q1 to Q3)."""

from hand_made import bar, brackets, fixings, layout, members

from service.engine.inputs import Item, Options
from service.engine.order_results import ScheduleLine
from service.engine.parameters import Parameters
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.schedule import schedule
from service.finding_codes import FindingCode, Severity
from service.vocabulary import Component, Role, UnitCode

BRACKETS = Item(component=Component.BRACKET, pack_size=50)
CLIPS = Item(component=Component.BRACKET_CLIP, pack_size=50)
SCREWS = Item(component=Component.FRAME_SCREW, pack_size=1000)


def made(layouts, items, **options):
    chosen = Options(**options)
    lists, _ = cut_bars(layouts, items, chosen, 600)
    lines, findings = schedule(layouts, lists, (), items, chosen, Parameters())
    return {line.component: line for line in lines}, findings


def figures(line: ScheduleLine) -> tuple[float, ...]:
    return (
        line.net_quantity, line.unsupplied_quantity, line.waste_quantity, line.reusable_quantity,
        line.allowance_quantity, line.spare_quantity, line.ordered_quantity,
    )  # fmt: skip


# 3 × 2390 + 2 × 600 = 8370. From 3000: two bars of 2390 + 600 with 10 left each, one of 2390 with 610 left, which is kept.
STUDS = layout(1, 1, members(1, 1, 2390, 2390, 2390, 600, 600))


def test_net_waste_and_reusable_remainders_add_up_to_the_bars():
    lines, findings = made([STUDS], [bar(3000)])
    line = lines[Component.C_STUD]
    assert (line.unit, figures(line)) == (UnitCode.METRE, (8.37, 0, 0.02, 0.61, 0, 0, 9.0))
    assert [(e.item.length_mm, e.needed, e.packs, e.quantity) for e in line.order] == [(3000, 3, 3, 3)]
    assert findings == ()


def test_a_pack_of_ten_bars_adds_seven_spare_ones():
    lines, _ = made([STUDS], [bar(3000, pack_size=10)])
    assert figures(lines[Component.C_STUD]) == (8.37, 0, 0.02, 0.61, 0, 21.0, 30.0)
    assert [(e.needed, e.packs, e.quantity) for e in lines[Component.C_STUD].order] == [(3, 1, 10)]


def test_an_allowance_is_whole_bars_of_the_longest_length_in_use():
    # 5 % of 8370 is 418.5 mm: one bar. Of 2400 and 3000, 3000 is in use: 2390 + 600 needs it.
    lines, _ = made([STUDS], [bar(2400), bar(3000)], allowances={Component.C_STUD: 5})
    assert lines[Component.C_STUD].allowance_quantity == 3.0
    assert [(e.item.length_mm, e.allowance) for e in lines[Component.C_STUD].order] == [(2400, 0), (3000, 1)]


def test_what_cannot_be_supplied_is_in_the_net_quantity_and_said_apart():
    # 2390 from 3000 leaves 610; 4100 has no bar.
    lines, _ = made([layout(1, 1, members(1, 1, 2390, 4100))], [bar(3000)])
    assert figures(lines[Component.C_STUD]) == (6.49, 4.1, 0, 0.61, 0, 0, 3.0)


def test_brackets_and_clips_are_counted_and_ordered_in_packs():
    studs = members(1, 1, 2390, 2390, 2390)
    lines, _ = made([layout(1, 1, studs, brackets=brackets(studs))], [bar(2400), BRACKETS, CLIPS])
    for component in (Component.BRACKET, Component.BRACKET_CLIP):
        assert (lines[component].unit, figures(lines[component])) == (UnitCode.PIECE, (3, 0, 0, 0, 0, 47, 50))
    (derivation,) = lines[Component.BRACKET].derivation
    assert (derivation.rules, derivation.terms, derivation.count) == (("R4",), "3 × 1 bracket", 3)
    assert derivation.members == tuple(stud.id for stud in studs)


def test_an_allowance_of_pieces_is_rounded_up_to_a_whole_one_before_the_packs():
    # 3 % of 50 is 1.5: two more, so that 52 need a second pack of 50: 48 spare.
    fixed = layout(1, 1, fixings=(fixings(1, 1, 50, "50"),))
    screws = Item(component=Component.FRAME_SCREW, pack_size=50)
    lines, _ = made([fixed], [screws], allowances={Component.FRAME_SCREW: 3})
    assert figures(lines[Component.FRAME_SCREW]) == (50, 0, 0, 0, 2, 48, 100)
    assert [(e.needed, e.allowance, e.packs, e.quantity) for e in lines[Component.FRAME_SCREW].order] == [(50, 2, 2, 100)]


def test_equal_fixings_of_a_wall_are_one_term_of_the_derivation():
    fixed = layout(1, 1, fixings=(fixings(1, 1, 2, "2 ends × 1"), fixings(1, 1, 2, "2 ends × 1"), fixings(1, 1, 4, "2 ends × 2")))
    lines, _ = made([fixed], [SCREWS])
    assert [(d.terms, d.count) for d in lines[Component.FRAME_SCREW].derivation] == [("2 × (2 ends × 1)", 4), ("2 ends × 2", 4)]
    assert lines[Component.FRAME_SCREW].net_quantity == 8


def test_no_fixings_make_no_line():
    assert made([layout(1, 1, fixings=(fixings(1, 1, 0, "2 ends × 0"),))], [SCREWS]) == ({}, ())


def test_members_alike_are_one_term_of_the_derivation():
    found = (*members(1, 1, 2390, 2390, 890), *members(1, 1, 2390, role=Role.END_STUD))
    lines, _ = made([layout(1, 1, found)], [bar(2400)])
    assert [(d.role, d.terms, d.length_mm) for d in lines[Component.C_STUD].derivation] == [
        (Role.STUD, "2 × 2390 mm", 2390),
        (Role.STUD, "1 × 890 mm", 890),
        (Role.END_STUD, "1 × 2390 mm", 2390),
    ]


def test_each_room_has_its_share_of_the_net_quantity():
    layouts = [layout(1, 1, members(1, 1, 2000)), layout(1, 2, members(1, 2, 500)), layout(3, 1, members(3, 1, 700))]
    lines, _ = made(layouts, [bar(3000)])
    assert lines[Component.C_STUD].rooms == ((1, 2.5), (3, 0.7))


def test_a_component_that_the_range_lacks_is_a_finding_and_not_left_out():
    lines, (finding,) = made([layout(1, 1, fixings=(fixings(1, 1, 8, "8"),))], [])
    assert figures(lines[Component.FRAME_SCREW]) == (8, 8, 0, 0, 0, 0, 0)
    assert lines[Component.FRAME_SCREW].order == ()
    assert (finding.code, finding.severity, finding.room) == (FindingCode.NOT_IN_RANGE, Severity.WARNING, None)


def test_too_little_stock_on_hand_is_a_finding_with_the_figures():
    lines, findings = made([STUDS], [bar(3000, sku="S30", on_hand=2)])
    assert [f.code for f in findings] == [FindingCode.STOCK_SHORT]
    assert "3000 mm (S30): 3 to order, 2 on hand, 1 short" in findings[0].message
    assert lines[Component.C_STUD].order[0].quantity == 3
    assert made([STUDS], [bar(3000, on_hand=3)])[1] == ()


def test_lines_stand_in_the_order_of_the_components():
    studs = members(1, 1, 2390)
    found = layout(1, 1, studs, brackets=brackets(studs), fixings=(fixings(1, 1, 2, "2"),))
    lines, _ = made([found], [bar(2400), BRACKETS, CLIPS, SCREWS])
    assert list(lines) == [Component.C_STUD, Component.BRACKET, Component.BRACKET_CLIP, Component.FRAME_SCREW]
