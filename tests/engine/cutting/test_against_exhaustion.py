"""Tiny problems against a second method that tries every way of cutting."""

from exhaustive import least_cost
from hypothesis import given
from problems import Problem, tiny_problems

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import Stock
from service.vocabulary import CutStatus


def test_the_second_method_by_hand() -> None:
    """5 + 5 fill a bar of 10; with a saw cut of 1 they do not, and take one bar each."""
    assert least_cost({5: 2}, [Stock(10, 3)], 0) == 3
    assert least_cost({5: 2}, [Stock(10, 3)], 1) == 6
    assert least_cost({5: 3}, [Stock(10, 3, 1)], 0) is None
    assert least_cost({5: 3}, [Stock(10, 3, 1), Stock(6, 1, None)], 0) == 3


@given(tiny_problems())
def test_tiny_plans_cost_the_least_that_any_way_of_cutting_costs(problem: Problem) -> None:
    pieces, stock, kerf_mm = problem
    plan = plan_bars(pieces, stock, kerf_mm)
    cut = {length: n - dict(plan.unplaced).get(length, 0) for length, n in pieces.items()}
    least = least_cost({length: n for length, n in cut.items() if n}, stock, kerf_mm)
    assert least is not None
    assert plan.lower_bound <= least <= plan.used
    if plan.status is CutStatus.OPTIMAL:
        assert plan.used == least
    else:
        assert plan.status is CutStatus.HEURISTIC, "so few pieces are always cut at proven least cost, unless stock runs out"
        assert any(s.length_mm >= length for length, _ in plan.unplaced for s in stock if s.quantity)


@given(tiny_problems())
def test_pieces_stay_unplaced_only_where_no_way_of_cutting_places_all(problem: Problem) -> None:
    pieces, stock, kerf_mm = problem
    longest = max(s.length_mm for s in stock if s.quantity != 0) if any(s.quantity != 0 for s in stock) else 0
    fitting = {length: n for length, n in pieces.items() if length <= longest}
    plan = plan_bars(fitting, stock, kerf_mm)
    assert bool(plan.unplaced) == (least_cost(fitting, stock, kerf_mm) is None)
