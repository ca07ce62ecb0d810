"""Sheets and rolls: small cases worked out beside the numbers, exhaustion as a second method, and what must hold of any plan."""

import itertools
import random
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box, union_all

from service.engine.cutting.flat import plan_sheets
from service.engine.cutting.flat_check import SheetPlanWrong, check_sheet_plan
from service.engine.cutting.flat_problem import Placement, SheetPattern, SheetStock
from service.vocabulary import CutStatus

BOARD = SheetStock(12000, 24000, 1)


def test_four_quarters_fill_one_board():
    plan = plan_sheets({(6000, 12000): 4}, [BOARD])
    assert (plan.used, plan.lower_bound, plan.status, plan.unplaced) == (1, 1, CutStatus.OPTIMAL, ())
    assert plan.patterns[0].remainders == ()


def test_two_boards_wider_than_half_never_share_their_width():
    # 7000 + 7000 > 12000, and 13000 + 13000 > 24000: neither beside nor beyond each other; by area one board would do.
    plan = plan_sheets({(7000, 13000): 2}, [BOARD])
    assert (plan.used, plan.lower_bound, plan.status) == (2, 2, CutStatus.OPTIMAL)


def test_a_board_keeps_its_paper_edge_upright_unless_turning_is_allowed():
    wide = {(24000, 6000): 2}
    assert plan_sheets(wide, [BOARD]).unplaced == (((24000, 6000), 2),)
    turned = plan_sheets(wide, [BOARD], turning=True)
    assert (turned.used, turned.unplaced) == (1, ())
    assert all(placement.turned for placement in turned.patterns[0].placements)


def test_each_piece_goes_on_the_cheapest_board_that_holds_it():
    # 2390 from 2400 at 9, 2690 from 2700 at 10; one dearer board cannot hold both.
    plan = plan_sheets({(12000, 23900): 1, (12000, 26900): 1}, [SheetStock(12000, 24000, 9), SheetStock(12000, 27000, 10)])
    assert (plan.used, plan.lower_bound) == (19, 19)


def test_strips_of_a_roll_lie_side_by_side():
    # A roll of 1200 × 8000: strips of 600 × 2715 in pairs, two pairs and 2570 left; five strips need three lengths: 8145 > 8000.
    plan = plan_sheets({(6000, 27150): 4}, [SheetStock(12000, 80000, 1)])
    assert plan.used == 1
    assert (0, 54300, 12000, 25700) in plan.patterns[0].remainders
    assert plan_sheets({(6000, 27150): 5}, [SheetStock(12000, 80000, 1)]).used == 2


def test_limited_sheets_are_used_first_and_no_further():
    plan = plan_sheets({(12000, 12000): 3}, [SheetStock(12000, 24000, 5), SheetStock(12000, 12000, 0, 1)])
    assert plan.used == 5
    short = plan_sheets({(12000, 12000): 3}, [SheetStock(12000, 12000, 1, 2)])
    assert (short.used, short.unplaced) == (0, (((12000, 12000), 3),))


def test_nothing_to_cut_is_a_proven_plan_of_nothing():
    plan = plan_sheets({}, [BOARD])
    assert (plan.patterns, plan.used, plan.lower_bound, plan.status) == ((), 0, 0, CutStatus.OPTIMAL)


@pytest.mark.parametrize(
    ("pieces", "stock", "faults"),
    [
        ({(0, 5): 1, (5, 5): -1}, [BOARD], ("(0, 5)", "(5, 5)")),
        ({(5, 5): 1}, [SheetStock(0, 5, 1), SheetStock(5, 5, -1), SheetStock(5, 5, 0)], ("stock 0", "stock 1", "stock 2")),
    ],
)
def test_every_fault_of_a_problem_is_named(pieces, stock, faults):
    with pytest.raises(ValueError, match="must") as refused:
        plan_sheets(pieces, stock)
    assert all(fault in str(refused.value) for fault in faults)


sizes = st.tuples(st.integers(1, 12).map(lambda n: n * 1000), st.integers(1, 24).map(lambda n: n * 1000))
problems = st.dictionaries(sizes, st.integers(1, 4), max_size=7)
stocks = st.sampled_from(
    [
        [BOARD],
        [SheetStock(12000, 24000, 912), SheetStock(12000, 27000, 1041), SheetStock(12000, 30000, 1149)],
        [SheetStock(9000, 18000, 5), SheetStock(12000, 24000, 9)],
        [SheetStock(12000, 80000, 1)],
    ]
)


@given(problems, stocks, st.booleans())
def test_every_piece_lies_on_one_sheet_and_none_on_another(pieces, stock, turning):
    plan = plan_sheets(pieces, stock, turning=turning)
    cut = Counter(dict(plan.unplaced))
    for pattern in plan.patterns:
        sheet = box(0, 0, stock[pattern.stock].width, stock[pattern.stock].length)
        laid = [box(p.x, p.y, p.x + p.width, p.y + p.length) for p in pattern.placements]
        left = [box(x, y, x + w, y + h) for x, y, w, h in pattern.remainders]
        assert all(sheet.covers(shape) for shape in (*laid, *left))
        # no two overlap, and pieces and remainders together are the whole sheet
        assert union_all([*laid, *left]).area == sum(shape.area for shape in (*laid, *left)) == sheet.area
        for placement in pattern.placements:
            cut[placement.asked] += pattern.copies
    assert cut == Counter(pieces)
    assert plan.lower_bound <= plan.used
    assert (plan.status is CutStatus.OPTIMAL) == (plan.used == plan.lower_bound)


@settings(max_examples=50)
@given(problems, stocks, st.randoms(use_true_random=False))
def test_the_order_of_the_pieces_makes_no_difference(pieces, stock, shuffle):
    items = list(pieces.items())
    shuffle.shuffle(items)
    assert plan_sheets(dict(items), stock) == plan_sheets(pieces, stock)


@pytest.mark.parametrize("seed", range(40))
def test_no_way_of_cutting_three_pieces_beats_the_plan_or_undercuts_the_bound(seed):
    """Exhaustion: every partition of up to three pieces into sheets, each held by trying all ways to divide it in two."""
    dice = random.Random(seed)
    pieces = [(dice.randint(2, 12) * 1000, dice.randint(2, 24) * 1000) for _ in range(dice.randint(1, 3))]
    best = min(len(parts) for parts in _partitions(pieces) if all(_fits(tuple(part), 12000, 24000) for part in parts))
    plan = plan_sheets(Counter(pieces), [BOARD])
    assert plan.lower_bound <= best
    assert plan.used == best


def _partitions(pieces):
    if not pieces:
        yield []
        return
    first, rest = pieces[0], pieces[1:]
    for parts in _partitions(rest):
        yield [[first], *parts]
        for i in range(len(parts)):
            yield [*parts[:i], [first, *parts[i]], *parts[i + 1 :]]


def _fits(part, width, length):
    """Whether a rectangle can be cut through, again and again, into these pieces and waste."""
    if len(part) == 1:
        return part[0][0] <= width and part[0][1] <= length
    for size in range(1, len(part)):
        for chosen in itertools.combinations(range(len(part)), size):
            one = tuple(part[i] for i in chosen)
            other = tuple(part[i] for i in range(len(part)) if i not in chosen)
            for cut in range(1000, max(width, length), 1000):
                if cut < width and _fits(one, cut, length) and _fits(other, width - cut, length):
                    return True
                if cut < length and _fits(one, width, cut) and _fits(other, width, length - cut):
                    return True
    return False


def _spoilt(plan, **changes):
    return replace(plan, **changes)


GOOD = {(6000, 12000): 4, (7000, 13000): 1}


@pytest.mark.parametrize(
    ("spoil", "fault"),
    [
        (lambda plan: _spoilt(plan, used=plan.used - 1), "costs"),
        (lambda plan: _spoilt(plan, lower_bound=plan.used + 1), "bound"),
        (lambda plan: _spoilt(plan, patterns=plan.patterns[1:], used=plan.used - 1, lower_bound=0), "lacking"),
        (lambda plan: _spoilt(plan, status=CutStatus.OPTIMAL, lower_bound=plan.used - 1), "called optimal"),
        (lambda plan: _moved(plan, x=9000), "leaves the sheet"),
        (lambda plan: _moved(plan, turned=True), "turned"),
        (lambda plan: _remaining(plan, (0, 0, 1000, 1000)), "overlap"),
    ],
)
def test_the_checker_refuses_each_kind_of_wrong_plan(spoil, fault):
    plan = plan_sheets(GOOD, [BOARD])
    check_sheet_plan(GOOD, [BOARD], plan, False)
    with pytest.raises(SheetPlanWrong, match=fault):
        check_sheet_plan(GOOD, [BOARD], spoil(plan), False)


def _moved(plan, **change):
    first = plan.patterns[0]
    moved = (replace(first.placements[0], **change), *first.placements[1:])
    return replace(plan, patterns=(replace(first, placements=moved), *plan.patterns[1:]))


def _remaining(plan, rectangle):
    first = plan.patterns[0]
    return replace(plan, patterns=(replace(first, remainders=(rectangle,)), *plan.patterns[1:]))


def test_the_checker_refuses_a_wheel_that_no_straight_cut_takes_apart():
    wheel = [(0, 0, 8, 4), (8, 0, 4, 8), (4, 8, 8, 4), (0, 4, 4, 8), (4, 4, 4, 4)]
    placements = tuple(Placement(y=y, x=x, width=w, length=h, turned=False) for x, y, w, h in wheel)
    pieces = Counter((w, h) for _, _, w, h in wheel)
    plan = replace(
        plan_sheets(pieces, [SheetStock(12, 12, 1)]), patterns=(SheetPattern(0, placements, (), 1),), used=1, lower_bound=1
    )
    with pytest.raises(SheetPlanWrong, match="edge to edge"):
        check_sheet_plan(pieces, [SheetStock(12, 12, 1)], plan, False)
