"""What holds of every plan, whatever the problem. That pieces, fits and bounds are right is the checker's to say: it has tests
of its own, and each plan here is put to it once more."""

import random

from hypothesis import given, settings
from hypothesis import strategies as st
from problems import Problem, problems

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.check import check_plan, material_bound, prove_bound
from service.engine.cutting.problem import BarPlan, Stock
from service.vocabulary import CutStatus


@given(problems())
def test_a_plan_passes_its_check_and_its_bound_is_at_least_that_of_the_material(problem: Problem) -> None:
    pieces, stock, kerf_mm = problem
    plan = plan_bars(pieces, stock, kerf_mm)
    check_plan(pieces, stock, kerf_mm, plan)
    left = dict(plan.unplaced)
    placed = {length: n for length, count in pieces.items() if (n := count - left.get(length, 0))}
    assert material_bound(placed, stock, kerf_mm) <= plan.lower_bound <= plan.used
    if plan.certificate is not None:
        assert prove_bound(placed, stock, kerf_mm, plan.certificate) >= plan.certificate.proves


@settings(max_examples=60)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_named_does_not_matter(problem: Problem, shuffle: random.Random) -> None:
    pieces, stock, kerf_mm = problem
    one = plan_bars(pieces, stock, kerf_mm)
    names, other_stock = list(pieces.items()), list(stock)
    shuffle.shuffle(names)
    shuffle.shuffle(other_stock)
    other = plan_bars(dict(names), other_stock, kerf_mm)
    assert _bars(one, stock) == _bars(other, other_stock)
    assert (one.used, one.lower_bound, one.status, one.certificate, one.unplaced) == (
        other.used, other.lower_bound, other.status, other.certificate, other.unplaced,
    )  # fmt: skip


@settings(max_examples=60)
@given(problems())
def test_stock_added_never_makes_it_dearer(problem: Problem) -> None:
    """Between optimal plans only: another bar to choose from cannot raise the least cost."""
    pieces, stock, kerf_mm = problem
    before = plan_bars(pieces, stock, kerf_mm)
    after = plan_bars(pieces, [*stock, Stock(3300, 580)], kerf_mm)
    if before.unplaced == after.unplaced and before.status is after.status is CutStatus.OPTIMAL:
        assert after.used <= before.used
    assert sum(n for _, n in after.unplaced) <= sum(n for _, n in before.unplaced)


def _bars(plan: BarPlan, stock: list[Stock]) -> list[tuple[object, ...]]:
    return sorted(
        (stock[p.stock].length_mm, stock[p.stock].price, stock[p.stock].quantity is None, p.counts, p.copies)
        for p in plan.patterns
    )
