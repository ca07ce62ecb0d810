"""Few pieces, planned exactly: least price, then least area, whatever is limited; and the ways for many, held to the same."""

import pytest
from hypothesis import given
from sheet_exhaustive import least_cost
from sheet_problems import Problem, tiny_problems

from service.engine.cutting.sheet_problem import Rectangle, SheetBound, SheetStock
from service.engine.cutting.sheet_solver import few, search
from service.engine.cutting.sheet_solver.few import best_of_few
from service.engine.cutting.sheet_solver.instance import SheetInstance, Take, canonical, holds
from service.engine.cutting.sheet_solver.sets import FittingSets
from service.engine.cutting.sheets import plan_sheets
from service.vocabulary import CutStatus

MOST_AREA = 10_000
"""More than five sheets of the tiny problems have together."""


def _best(instance: SheetInstance) -> list[Take] | None:
    sets = FittingSets(instance)
    assert sets.list_all(1_000, 100_000)
    return best_of_few(sets)


def _fitting(problem: Problem) -> dict[Rectangle, int]:
    pieces, stock, turning, _ = problem
    return {size: n for size, n in pieces.items() if any(s.quantity != 0 and holds(s, size, turning) for s in stock)}


@given(tiny_problems())
def test_it_costs_what_the_best_way_of_cutting_costs_whatever_is_limited(problem: Problem) -> None:
    _, stock, turning, kerf = problem
    pieces = _fitting(problem)
    if pieces:
        instance = canonical(pieces, stock, turning, kerf)
        takes = _best(instance)
        assert (None if takes is None else instance.cost(takes)) == least_cost(pieces, stock, turning, kerf)


@given(tiny_problems())
def test_of_plans_at_the_least_price_it_takes_the_least_area(problem: Problem) -> None:
    """The other method weighs price and area in one number."""
    _, stock, turning, kerf = problem
    pieces = _fitting(problem)
    endless = [SheetStock(s.width, s.length, s.price) for s in stock if s.quantity != 0]
    if pieces:
        instance = canonical(pieces, endless, turning, kerf)
        takes = _best(instance)
        assert takes is not None
        weighed = [SheetStock(s.width, s.length, s.price * MOST_AREA + (s.width + kerf) * (s.length + kerf)) for s in endless]
        assert instance.cost(takes) * MOST_AREA + instance.area(takes) == least_cost(pieces, weighed, turning, kerf)


def test_of_as_many_sheets_the_smaller_are_filled() -> None:
    """7 and 3, 6 and 4 on two sheets of 10, 200 in all; 7 and 6 would ask for the sheet of 14, 240 in all, with 4 and 3 on the
    other and more left in one place."""
    plan = plan_sheets({(10, 7): 1, (10, 6): 1, (10, 4): 1, (10, 3): 1}, [SheetStock(10, 10, 1), SheetStock(10, 14, 1)])
    assert [(p.stock, p.copies) for p in plan.patterns] == [(0, 1), (0, 1)]


def test_equal_sheets_are_cut_alike_where_that_is_as_good() -> None:
    """Two of 4, of 3 and of 2 on sheets of 10: twice 4 and 3 and 2; 4, 3, 3 and 4, 2, 2 would be as few, but two patterns."""
    plan = plan_sheets({(10, 4): 2, (10, 3): 2, (10, 2): 2}, [SheetStock(10, 10, 1)])
    assert [p.copies for p in plan.patterns] == [2]


def test_what_is_left_over_is_left_in_one_place() -> None:
    """Of 6, 5, 4 and 2 on two sheets of 10: 6 and 4, 5 and 2, of which 3 are left; not 6 and 2, 5 and 4, of which 2 and 1 are."""
    plan = plan_sheets({(10, 6): 1, (10, 5): 1, (10, 4): 1, (10, 2): 1}, [SheetStock(10, 10, 1), SheetStock(10, 11, 2)])
    assert [p.remainders for p in plan.patterns] == [(), ((0, 7, 10, 3),)]


@pytest.mark.parametrize(("offcut", "taken"), [((10, 3), True), ((10, 8), False)])
def test_an_offcut_that_saves_no_sheet_is_used_where_more_is_left_in_one_place(offcut: Rectangle, taken: bool) -> None:
    """6 and 3 off a sheet of 10 leave 1. From an offcut of 3 the 3 leaves 0 and 4 of the sheet, not 1 and the 3 of the offcut:
    16 to 9 + 1 by squares. From one of 8 it leaves 5 and 4, not 1 and 8: 25 + 16 to 64 + 1."""
    plan = plan_sheets({(10, 6): 1, (10, 3): 1}, [SheetStock(10, 10, 7), SheetStock(*offcut, 0, 1)])
    assert plan.used == 7
    assert (1 in {p.stock for p in plan.patterns}) is taken


def test_an_offcut_is_taken_once_and_nothing_is_planned_where_stock_runs_out() -> None:
    """Two of 6 by 6: one off the offcut for nothing, one off the sheet for 7. Without the sheet, one is left without stock."""
    pieces, offcut = {(6, 6): 2}, SheetStock(7, 7, 0, 1)
    with_sheet = canonical(pieces, [offcut, SheetStock(10, 10, 7)], turning=False, kerf=0)
    takes = _best(with_sheet)
    assert takes is not None
    assert sorted((with_sheet.sheets[t.sheet].price, t.copies) for t in takes) == [(0, 1), (7, 1)]
    assert _best(canonical(pieces, [offcut], turning=False, kerf=0)) is None


def test_what_would_be_too_much_work_is_left_to_other_ways() -> None:
    """One whole sheet after the other, more often than sets may be tried."""
    assert _best(canonical({(10, 10): few.MOST_TRIED + 1}, [SheetStock(10, 10, 1)], turning=False, kerf=0)) is None


def test_equal_worths_prove_no_less_than_unequal_ones() -> None:
    """No two of these lie on one sheet: eleven sheets at 7. Equal worths show it, if they are fine enough for a price of 7."""
    plan = plan_sheets({(6, 6): 10, (9, 6): 1}, [SheetStock(10, 10, 7)])
    assert plan.certificate is not None
    assert (plan.certificate.proves, plan.used, plan.bound) == (77, 77, SheetBound.ANY_PACKING)


@given(tiny_problems())
def test_the_ways_for_many_pieces_are_right_for_few_too(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    endless = [SheetStock(s.width, s.length, s.price) for s in stock]
    with pytest.MonkeyPatch.context() as limits:
        limits.setattr(search, "FEWEST_SETS", -1)
        plan = plan_sheets(pieces, endless, turning=turning, kerf=kerf)
        short = plan_sheets(pieces, stock, turning=turning, kerf=kerf)
    placed = {size: n for size, n in pieces.items() if size not in dict(plan.unplaced)}
    assert (plan.used, plan.lower_bound, plan.status) == (least_cost(placed, endless, turning, kerf),) * 2 + (CutStatus.OPTIMAL,)
    least = least_cost(pieces, stock, turning, kerf)
    if not short.unplaced:
        assert least is not None
        assert short.lower_bound <= least <= short.used
