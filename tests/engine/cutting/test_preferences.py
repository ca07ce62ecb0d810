"""Among plans of the same cost: less waste, then fewer patterns, then one long remainder."""

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import BarPlan, Stock


def _remainders(plan: BarPlan, stock: list[Stock]) -> list[int]:
    return sorted(
        stock[p.stock].length_mm - sum(length * n for length, n in p.counts) for p in plan.patterns for _ in range(p.copies)
    )


def test_of_bars_at_one_price_the_shorter_is_taken() -> None:
    stock = [Stock(3000, 500), Stock(2400, 500)]
    assert [p.stock for p in plan_bars({2300: 4}, stock).patterns] == [1]


def test_three_equal_bars_rather_than_three_different_ones() -> None:
    """Three bars of 10 hold three 5s, three 3s and three 2s in many ways; 5 + 3 + 2 three times over is one pattern."""
    plan = plan_bars({5: 3, 3: 3, 2: 3}, [Stock(10, 1)])
    assert [(p.counts, p.copies) for p in plan.patterns] == [(((5, 1), (3, 1), (2, 1)), 3)]


def test_what_is_left_over_is_left_in_one_piece() -> None:
    """4000 mm of pieces in two bars of 3000 leave 2000. To leave it all in one bar, the other must be full: of 1500, 1400, 600
    and 500 no sum is 3000, and the greatest below is 1500 + 1400 = 2900. So 100 and 1900 it is."""
    stock = [Stock(3000, 1)]
    plan = plan_bars({1500: 1, 1400: 1, 600: 1, 500: 1}, stock)
    assert plan.used == 2
    assert _remainders(plan, stock) == [100, 1900]


def test_a_remainder_long_enough_to_keep_is_not_waste() -> None:
    """Both bars cost the same. A piece of 1700 leaves 700 of the shorter and 1300 of the longer, which is kept from 1000 on."""
    stock = [Stock(2400, 500), Stock(3000, 500)]
    assert [p.stock for p in plan_bars({1700: 1}, stock, reusable_mm=1000).patterns] == [1]
    assert [p.stock for p in plan_bars({1700: 1}, stock).patterns] == [0]
