"""The checker refuses each kind of wrong plan. The right plan is made by hand, so that no solver takes part."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from service.engine.cutting.check import CutPlanWrong, check_plan, material_bound, prove_bound
from service.engine.cutting.problem import BarPlan, Certificate, Pattern, Stock
from service.vocabulary import CutStatus

PIECES = {1490: 3, 990: 2, 5000: 1}
STOCK = (Stock(3000, 500), Stock(1000, 0, 1))
KERF_MM = 10
# 1490 + 10 + 1490 = 2990 in one bar; 1490 + 10 + 990 = 2490 in the second; 990 in the offcut. 5000 fits nothing.
# Each 1490 takes 1500 of 3010 with its saw cut and each 990 takes 1000. Worth 250 and 0 a piece, no bar holds more than 500:
# 3 x 250 = 750, and the next sum of 500s is 1000.
PROOF = Certificate(values=((1490, 250), (990, 0)), scale=1, proves=1000)
RIGHT = BarPlan(
    patterns=(Pattern(0, ((1490, 2),), 1), Pattern(0, ((1490, 1), (990, 1)), 1), Pattern(1, ((990, 1),), 1)),
    used=1000,
    lower_bound=1000,
    status=CutStatus.OPTIMAL,
    certificate=PROOF,
    unplaced=((5000, 1),),
)


def test_the_right_plan_passes() -> None:
    check_plan(PIECES, STOCK, KERF_MM, RIGHT)


def _with_pattern(place: int, **changes: object) -> Callable[[BarPlan], BarPlan]:
    def change(plan: BarPlan) -> BarPlan:
        patterns = list(plan.patterns)
        patterns[place] = replace(patterns[place], **changes)  # type: ignore[arg-type]
        return replace(plan, patterns=tuple(patterns))

    return change


WRONG: list[tuple[str, Callable[[BarPlan], BarPlan], str]] = [
    ("a bar that does not exist", _with_pattern(0, stock=2), "there is no stock 2"),
    ("no copies", _with_pattern(0, copies=0), "0 copies"),
    ("an empty bar", _with_pattern(0, counts=()), "nothing is cut"),
    ("none of a length", _with_pattern(0, counts=((1490, 2), (990, 0))), "nothing is cut"),
    ("lengths out of order", _with_pattern(1, counts=((990, 1), (1490, 1))), "longest first"),
    ("a length listed twice", _with_pattern(0, counts=((1490, 1), (1490, 1))), "listed once"),
    ("a bar too full", _with_pattern(1, counts=((1490, 1), (990, 2))), "3490 mm with saw cuts from a bar of 3000"),
    ("more offcuts than there are", _with_pattern(2, copies=2), "stock 1: 2 bars taken of 1"),
    ("a sum that is wrong", lambda p: replace(p, used=999), "come to 1000, the plan says 999"),
    ("a piece too few", lambda p: replace(p, patterns=p.patterns[:2]), "990 mm: 1 cut or unplaced, 2 wanted"),
    ("a piece too many", _with_pattern(0, copies=2), "1490 mm: 5 cut or unplaced, 3 wanted"),
    ("a piece nobody asked for", _with_pattern(2, counts=((400, 1),)), "400 mm: 1 cut or unplaced, 0 wanted"),
    ("a piece that is lost", lambda p: replace(p, unplaced=()), "5000 mm: 0 cut or unplaced, 1 wanted"),
    ("unplaced twice", lambda p: replace(p, unplaced=((5000, 1), (5000, 1))), "not listed once"),
    (
        "a piece left out that would fit",
        lambda p: replace(p, patterns=p.patterns[:2], unplaced=((5000, 1), (990, 1))),
        "there is stock without limit that holds it",
    ),
    ("a bound above the cost", lambda p: replace(p, lower_bound=1500), "the lower bound is 1500, the plan costs 1000"),
    (
        "a bound below its proof",
        lambda p: replace(p, lower_bound=500, status=CutStatus.BOUNDED),
        "less than its certificate proves",
    ),
    (
        "a proof that proves less than it says",
        lambda p: replace(p, certificate=replace(PROOF, values=((1490, 150), (990, 0)))),
        "said to prove 1000, it proves 500",
    ),
    (
        "values with which a bar holds more than it costs",
        lambda p: replace(p, certificate=replace(PROOF, values=((1490, 251), (990, 0)))),
        "said to prove 1000, it proves 0",
    ),
    ("a negative value", lambda p: replace(p, certificate=replace(PROOF, values=((1490, 250), (990, -1)))), "it proves 0"),
    ("no scale", lambda p: replace(p, certificate=replace(PROOF, scale=0)), "it proves 0"),
    ("values past 64 bits", lambda p: replace(p, certificate=replace(PROOF, values=((1490, 1 << 63),))), "it proves 0"),
    # Material alone: 3 x 1500 + 2 x 1000 less 1010 that cost nothing is 5490; of 3010 at 500 that is 911.96.
    ("a bound out of the air", lambda p: replace(p, certificate=None), "without a certificate only 912 is proven"),
    ("too modest a status", lambda p: replace(p, status=CutStatus.BOUNDED), "what is proven is optimal"),
    (
        "too bold a status",
        lambda p: replace(p, certificate=None, lower_bound=700),
        "the status is optimal, what is proven is heuristic",
    ),
]


@pytest.mark.parametrize(("change", "words"), [case[1:] for case in WRONG], ids=[case[0] for case in WRONG])
def test_a_wrong_plan_is_refused_with_the_reason(change: Callable[[BarPlan], BarPlan], words: str) -> None:
    with pytest.raises(CutPlanWrong) as refused:
        check_plan(PIECES, STOCK, KERF_MM, change(RIGHT))
    assert any(words in fault for fault in refused.value.faults), refused.value.faults


def test_every_fault_is_listed() -> None:
    wrong = replace(RIGHT, patterns=(replace(RIGHT.patterns[0], stock=7), RIGHT.patterns[1]), used=3)
    with pytest.raises(CutPlanWrong) as refused:
        check_plan(PIECES, STOCK, KERF_MM, wrong)
    assert len(refused.value.faults) == 3  # no such stock, the sum, and the 990 of the bar that is gone


def test_a_limited_bar_may_hold_more_than_it_costs_and_the_bound_pays_for_it() -> None:
    """A free offcut of 1500 holds one piece worth 250: 3 x 250 less 250 is 500; two such offcuts leave 250, so 500 again."""
    pieces = {1490: 3}
    proof = Certificate(values=((1490, 250),), scale=1, proves=500)
    assert prove_bound(pieces, [Stock(3000, 500), Stock(1490, 0, 1)], KERF_MM, proof) == 500
    assert prove_bound(pieces, [Stock(3000, 500), Stock(1490, 0, 2)], KERF_MM, proof) == 500
    assert prove_bound(pieces, [Stock(3000, 500), Stock(1490, 0, 3)], KERF_MM, proof) == 0


def test_a_bound_rises_to_the_next_sum_that_prices_can_make() -> None:
    """Worth 3 x 250 = 750. Sums of 412 and 500: 412, 500, 824, … so 824."""
    proof = Certificate(values=((1490, 250),), scale=1, proves=0)
    assert prove_bound({1490: 3}, [Stock(3000, 500), Stock(1490, 412)], KERF_MM, proof) == 824


def test_material_is_bought_at_the_best_rates_first() -> None:
    """3 x 1500 = 4500 with saw cuts. The offcut gives 1010 for nothing; 3490 of 3010 at 500 is 579.7, so 580."""
    assert material_bound({1490: 2, 990: 1}, STOCK, KERF_MM) == -(-500 * (2 * 1500 + 1000 - 1010) // 3010)
    assert material_bound({1490: 3}, [Stock(3000, 500)], KERF_MM) == 748  # 4500 / 3010 x 500 = 747.5


def test_a_gap_closed_by_search_is_optimal_and_a_gap_left_open_is_bounded() -> None:
    """Worth proves 500; a plan at 1000 is bounded, unless search has ruled out what lies between."""
    weak = Certificate(values=((1490, 150), (990, 0)), scale=1, proves=500)
    bounded = replace(RIGHT, certificate=weak, lower_bound=500, status=CutStatus.BOUNDED)
    check_plan(PIECES, STOCK, KERF_MM, bounded)
    check_plan(PIECES, STOCK, KERF_MM, replace(bounded, lower_bound=1000, status=CutStatus.OPTIMAL))


def test_where_stock_ran_out_only_heuristic_is_honest() -> None:
    stock = (Stock(3000, 500, 1),)
    plan = BarPlan(
        (Pattern(0, ((1490, 2),), 1),), 500, 500, CutStatus.HEURISTIC, Certificate(((1490, 250),), 1, 500), ((1490, 1),)
    )
    check_plan({1490: 3}, stock, KERF_MM, plan)
    with pytest.raises(CutPlanWrong, match="what is proven is heuristic"):
        check_plan({1490: 3}, stock, KERF_MM, replace(plan, status=CutStatus.OPTIMAL))
