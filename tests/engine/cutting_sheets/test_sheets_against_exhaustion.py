"""Very small problems, where every way of cutting has been tried by another method."""

from hypothesis import given
from sheet_exhaustive import least_cost
from sheet_problems import Problem, tiny_problems

from service.engine.cutting.sheets import plan_sheets
from service.vocabulary import CutStatus


@given(tiny_problems())
def test_a_plan_costs_what_the_best_way_of_cutting_costs(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    least = least_cost(pieces, stock, turning, kerf)
    plan = plan_sheets(pieces, stock, turning=turning, kerf=kerf)
    assert plan.lower_bound <= plan.used
    if least is None:
        assert plan.unplaced
        return
    if not plan.unplaced:
        assert plan.lower_bound <= least <= plan.used
        if plan.status is CutStatus.OPTIMAL:
            assert plan.used == least


@given(tiny_problems())
def test_where_no_stock_is_limited_a_plan_for_so_few_pieces_is_proven(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    endless = [type(s)(s.width, s.length, s.price) for s in stock]
    plan = plan_sheets(pieces, endless, turning=turning, kerf=kerf)
    placed = {size: n for size, n in pieces.items() if size not in dict(plan.unplaced)}
    assert (plan.used, plan.lower_bound, plan.status) == (least_cost(placed, endless, turning, kerf),) * 2 + (CutStatus.OPTIMAL,)
