"""The checker of sheets refuses each kind of wrong plan. The right plan is made by hand, so that no solver takes part."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from service.engine.cutting.sheet_check import SheetPlanWrong, area_bound, check_sheet_plan, prove_sheet_bound
from service.engine.cutting.sheet_problem import (
    Placement,
    SheetBound,
    SheetCertificate,
    SheetCut,
    SheetPattern,
    SheetPlan,
    SheetStock,
)
from service.vocabulary import CutStatus

PIECES = {(49, 240): 3, (40, 50): 1, (200, 10): 1}
STOCK = (SheetStock(100, 240, 50), SheetStock(60, 50, 0, 1))
KERF = 2
# 49 + 2 + 49 = 100: two of 49 by 240 fill a sheet. The third leaves 100 - 49 - 2 = 49 beside it; 40 out of the offcut's 60
# leaves 18. 200 fits nothing.
# A width of 49 is worth 25 and a length of 240 is worth 1: two widths go beside each other, so no sheet holds more than 50, its
# price; the offcut is not 240 long and holds nothing of worth. 3 x 25 = 75, and the next sum of 50s is 100.
PROOF = SheetCertificate(widths=((49, 25), (40, 0)), lengths=((240, 1), (50, 0)), scale=1, proves=100)
ONE, TWO = Placement(49, 240, 0, 0), Placement(49, 240, 51, 0)
IN_TWO = SheetCut(0, 0, 100, 240, across=False, at=49)
RIGHT = SheetPlan(
    patterns=(
        SheetPattern(0, (ONE, TWO), (), (IN_TWO,), 1),
        SheetPattern(0, (ONE,), ((51, 0, 49, 240),), (IN_TWO,), 1),
        SheetPattern(1, (Placement(40, 50, 0, 0),), ((42, 0, 18, 50),), (SheetCut(0, 0, 60, 50, across=False, at=40),), 1),
    ),
    used=100,
    lower_bound=100,
    bound=SheetBound.ANY_PACKING,
    status=CutStatus.OPTIMAL,
    certificate=PROOF,
    unplaced=(((200, 10), 1),),
)


def test_the_right_plan_passes() -> None:
    check_sheet_plan(PIECES, STOCK, RIGHT, kerf=KERF)


Change = Callable[[SheetPlan], SheetPlan]


def _with_pattern(place: int, **changes: object) -> Change:
    def change(plan: SheetPlan) -> SheetPlan:
        patterns = list(plan.patterns)
        patterns[place] = replace(patterns[place], **changes)  # type: ignore[arg-type]
        return replace(plan, patterns=tuple(patterns))

    return change


def _with(**changes: object) -> Change:
    return lambda plan: replace(plan, **changes)  # type: ignore[arg-type]


def _with_proof(**changes: object) -> Change:
    return _with(certificate=replace(PROOF, **changes))  # type: ignore[arg-type]


TURNED = Placement(240, 49, 51, 0, turned=True)
ACROSS = SheetCut(0, 0, 49, 240, across=True, at=100)
WRONG: list[tuple[str, Change, str]] = [
    ("a sheet that does not exist", _with_pattern(0, stock=2), "there is no stock 2"),
    ("no copies", _with_pattern(0, copies=0), "0 copies"),
    ("a sheet not used", _with_pattern(0, placements=()), "nothing is cut"),
    ("more offcuts than there are", _with_pattern(2, copies=2), "stock 1: 2 sheets taken of 1"),
    ("a sum that is wrong", _with(used=99), "come to 100, the plan says 99"),
    ("a piece too few", _with(patterns=RIGHT.patterns[:2]), "40 x 50: 0 cut or unplaced, 1 wanted"),
    ("a piece too many", _with_pattern(0, copies=2), "49 x 240: 5 cut or unplaced, 3 wanted"),
    (
        "a piece nobody asked for",
        _with_pattern(1, placements=(Placement(48, 240, 0, 0),)),
        "48 x 240: 1 cut or unplaced, 0 wanted",
    ),
    ("a piece that is lost", _with(unplaced=()), "200 x 10: 0 cut or unplaced, 1 wanted"),
    ("unplaced twice", _with(unplaced=(((200, 10), 1),) * 2), "not listed once"),
    (
        "a piece left out that would fit",
        _with(patterns=RIGHT.patterns[:1], used=50, unplaced=(((49, 240), 1), ((40, 50), 1), ((200, 10), 1))),
        "there is stock without limit that holds it",
    ),
    ("one piece on another", _with_pattern(0, placements=(ONE, ONE)), "49 x 240 at (0, 0) is not cut out"),
    ("a piece over the edge", _with_pattern(0, placements=(ONE, replace(TWO, x=52))), "at (52, 0) is not cut out"),
    ("a piece turned", _with_pattern(0, placements=(ONE, TURNED)), "piece 240 x 49 is turned"),
    ("no cut between two pieces", _with_pattern(0, cuts=()), "49 x 240 at (0, 0) is not cut out"),
    ("a cut through a piece", _with_pattern(0, cuts=(IN_TWO, ACROSS)), "49 x 240 at (0, 0) is not cut out"),
    ("a cut in what is not there", _with_pattern(0, cuts=(IN_TWO, IN_TWO)), "cut 2: there is no part (0, 0, 100, 240)"),
    ("a cut that is no cut", _with_pattern(0, cuts=(replace(IN_TWO, at=100),)), "cut 1: at 100 of a part of 100"),
    ("a remainder not named", _with_pattern(1, remainders=()), "the remainders are [(51, 0, 49, 240)]"),
    ("a remainder too wide for the saw", _with_pattern(2, remainders=((41, 0, 19, 50),)), "the remainders are [(42, 0, 18, 50)]"),
    ("a bound above the cost", _with(lower_bound=150), "the lower bound is 150, the plan costs 100"),
    ("a bound below its proof", _with(lower_bound=50, status=CutStatus.BOUNDED), "less than its certificate proves"),
    ("a proof that proves less than it says", _with_proof(widths=((49, 15),)), "said to prove 100, it proves 50"),
    ("worths with which a sheet holds more than it costs", _with_proof(widths=((49, 26),)), "said to prove 100, it proves 0"),
    ("a negative worth", _with_proof(lengths=((240, 1), (50, -1))), "it proves 0"),
    ("no scale", _with_proof(scale=0), "it proves 0"),
    ("worths past 64 bits", _with_proof(widths=((49, 1 << 63),)), "it proves 0"),
    ("too modest a status", _with(status=CutStatus.BOUNDED), "what is proven is optimal"),
    ("a status without proof", _with(certificate=None, lower_bound=50), "the status is optimal, what is proven is heuristic"),
]


@pytest.mark.parametrize(("change", "words"), [case[1:] for case in WRONG], ids=[case[0] for case in WRONG])
def test_a_wrong_plan_is_refused_with_the_reason(change: Change, words: str) -> None:
    with pytest.raises(SheetPlanWrong) as refused:
        check_sheet_plan(PIECES, STOCK, change(RIGHT), kerf=KERF)
    assert any(words in fault for fault in refused.value.faults), refused.value.faults


def test_every_fault_is_listed() -> None:
    wrong = replace(RIGHT, patterns=(replace(RIGHT.patterns[0], stock=7), *RIGHT.patterns[1:]), used=3)
    with pytest.raises(SheetPlanWrong) as refused:
        check_sheet_plan(PIECES, STOCK, wrong, kerf=KERF)
    assert len(refused.value.faults) == 2  # no such stock, and the sum without it


def test_remainders_are_listed_largest_first() -> None:
    """A sheet of 10 by 10, a piece of 6 by 9: the cut above it leaves 10 by 1, the cut beside it 4 by 9, which is larger."""
    cuts = (SheetCut(0, 0, 10, 10, across=True, at=9), SheetCut(0, 0, 10, 9, across=False, at=6))
    larger, smaller = (6, 0, 4, 9), (0, 9, 10, 1)
    pattern = SheetPattern(0, (Placement(6, 9, 0, 0),), (larger, smaller), cuts, 1)
    plan = SheetPlan((pattern,), 5, 5, SheetBound.ANY_PACKING, CutStatus.OPTIMAL, None, ())
    check_sheet_plan({(6, 9): 1}, [SheetStock(10, 10, 5)], plan)
    with pytest.raises(SheetPlanWrong, match="not listed largest first"):
        wrong = replace(plan, patterns=(replace(pattern, remainders=(smaller, larger)),))
        check_sheet_plan({(6, 9): 1}, [SheetStock(10, 10, 5)], wrong)


def test_a_bound_out_of_the_air_is_refused() -> None:
    """Two of 6 by 6 on sheets of 10 by 10 need two sheets, but the area proves only one, and a certificate is not there."""
    pattern = SheetPattern(
        0,
        (Placement(6, 6, 0, 0),),
        ((0, 6, 10, 4), (6, 0, 4, 6)),
        (SheetCut(0, 0, 10, 10, across=True, at=6), SheetCut(0, 0, 10, 6, across=False, at=6)),
        2,
    )
    plan = SheetPlan((pattern,), 10, 5, SheetBound.ANY_PACKING, CutStatus.HEURISTIC, None, ())
    stock = [SheetStock(10, 10, 5)]
    check_sheet_plan({(6, 6): 2}, stock, plan)
    with pytest.raises(SheetPlanWrong, match="without a certificate only 5 is proven"):
        check_sheet_plan({(6, 6): 2}, stock, replace(plan, lower_bound=10, status=CutStatus.OPTIMAL))
    check_sheet_plan({(6, 6): 2}, stock, replace(plan, lower_bound=10, status=CutStatus.OPTIMAL, bound=SheetBound.GUILLOTINE))


def test_a_piece_that_may_be_turned_is_worth_the_lesser_of_its_two_ways() -> None:
    """On a sheet of 10 by 10 at price 5. Across, sides of 6 and of 3 are worth 5; along, a side of 6 is worth 1 and one of 3
    nothing. Two of 6 by 6 are worth 10; one of 3 by 6 is worth 5 as it is and nothing when it lies the other way."""
    proof = SheetCertificate(((6, 5), (3, 5)), ((6, 1), (3, 0)), 1, 0)
    stock = [SheetStock(10, 10, 5)]
    assert prove_sheet_bound({(6, 6): 2}, stock, proof, turning=True, kerf=0) == 10
    assert prove_sheet_bound({(3, 6): 1}, stock, proof, turning=False, kerf=0) == 5
    assert prove_sheet_bound({(3, 6): 1}, stock, proof, turning=True, kerf=0) == 0


def test_a_limited_sheet_may_hold_more_than_it_costs_and_the_bound_pays_for_it() -> None:
    """A free sheet of 6 by 6 holds a piece worth 5: three pieces are worth 15, less 5 for each such sheet."""
    proof = SheetCertificate(((6, 5),), ((6, 1),), 1, 0)
    for there, proves in ((1, 10), (2, 5), (3, 0)):
        stock = [SheetStock(10, 10, 5), SheetStock(6, 6, 0, there)]
        assert prove_sheet_bound({(6, 6): 3}, stock, proof, turning=False, kerf=0) == proves


def test_area_is_bought_at_the_best_rates_first() -> None:
    """Four of 5 by 5 are an area of 100; the free sheet gives 36 of it, and 64 at 100 for 7 is 4.48: the next sum is 7."""
    assert area_bound({(5, 5): 4}, [SheetStock(10, 10, 7), SheetStock(6, 6, 0, 1)]) == 7
    assert area_bound({(5, 5): 4}, [SheetStock(10, 10, 7)], kerf=1) == 14  # 4 x 36 = 144 of 121 a sheet
