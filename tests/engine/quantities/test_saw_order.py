"""The order at the saw, by hand and against every other order."""

from itertools import pairwise, permutations

from hand_made import bar, layout, members
from hypothesis import given, settings
from hypothesis import strategies as st

from service.engine.inputs import Options
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.saw_order import Shape, in_working_order


def shape(*cuts: int, stock: int = 3000, offcut: bool = False) -> Shape:
    return Shape(offcut, stock, cuts, "")


def moves(shapes: list[Shape]) -> int:
    """How often the stop is set anew, cut by cut."""
    return sum(one != other for one, other in pairwise(cut for s in shapes for cut in s.cuts))


def test_whole_bars_come_before_offcuts_and_long_stock_before_short():
    given_shapes = [shape(900, stock=3600, offcut=True), shape(900, stock=2400), shape(800), shape(700, stock=2500, offcut=True)]
    assert [(s.from_offcuts, s.stock_mm) for s in in_working_order(given_shapes)] == [
        (False, 3000), (False, 2400), (True, 3600), (True, 2500),
    ]  # fmt: skip


def test_the_stop_stays_where_the_next_bar_begins():
    # 2390 → 600 | 600 600 | → 1200 1200 → 500 moves the stop 3 times; by longest cuts, 2390 → 600 | → 1200 1200 → 500 | → 600,
    # it would be 4 times.
    ordered = in_working_order([shape(1200, 1200, 500), shape(600, 600), shape(2390, 600)])
    assert [s.cuts for s in ordered] == [(2390, 600), (600, 600), (1200, 1200, 500)]
    assert moves(ordered) == 3


@settings(max_examples=150)
@given(st.lists(st.lists(st.integers(1, 4), min_size=1, max_size=3), min_size=1, max_size=6))
def test_no_other_order_moves_the_stop_less(cuts: list[list[int]]):
    shapes = [shape(*sorted(each, reverse=True)) for each in cuts]
    ordered = in_working_order(shapes)
    assert sorted(ordered) == sorted(set(shapes))
    assert moves(ordered) == min(moves(list(other)) for other in permutations(ordered))


def test_bars_alike_follow_each_other_and_lead_from_wall_to_wall():
    layouts = [layout(1, wall, members(1, wall, 2390, 600)) for wall in (1, 2)]
    ((cut_list,), _) = cut_bars([*layouts, layout(2, 1, members(2, 1, 600, 600, 600, 600, 600))], [bar(3000)], Options(), 600)
    assert [(b.pattern, [c.member.id for c in b.cuts]) for b in cut_list.bars] == [
        (1, ["1/1/stud-01", "1/1/stud-02"]),
        (1, ["1/2/stud-01", "1/2/stud-02"]),
        (2, [f"2/1/stud-0{n}" for n in range(1, 6)]),
    ]
