"""The front of flat cutting: what is refused, left unplaced, labelled how, and that nothing depends on the run."""

import os
import subprocess
import sys
from dataclasses import asdict

import orjson
import pytest
from sheet_problems import ROOM, ROOM_STOCK

from service.engine.cutting.problem import CutProblemInvalid
from service.engine.cutting.sheet_problem import Placement, SheetBound, SheetCut, SheetStock
from service.engine.cutting.sheets import plan_sheets
from service.vocabulary import CutStatus

BOARD = SheetStock(12000, 24000, 912)


def test_every_fault_of_a_bad_problem_is_listed() -> None:
    stock = [SheetStock(0, 1, 1), SheetStock(10, 2.5, 1), SheetStock(10, 10, -1), SheetStock(10, 10, 1, -1)]  # type: ignore[arg-type]
    pieces = {(-5, 4): 1, (7, 7): -2, (True, 3): 1, 8: 1, (1, 2, 3): 1}
    with pytest.raises(CutProblemInvalid) as refused:
        plan_sheets(pieces, stock, kerf=-1)  # type: ignore[arg-type]
    faults = refused.value.faults
    assert len(faults) == 10
    of = ["kerf", "(-5, 4)", "of (7, 7)", "(True, 3)", "is 8", "(1, 2, 3)"]
    of += ["stock 0: width", "stock 1: length", "stock 2: price", "stock 3: quantity"]
    for words in of:
        assert any(words in fault for fault in faults), words
    assert isinstance(refused.value, ValueError)


def test_nothing_wanted_is_planned_at_no_cost() -> None:
    for pieces in ({}, {(500, 500): 0}):
        plan = plan_sheets(pieces, [BOARD])
        assert (plan.patterns, plan.used, plan.lower_bound, plan.status, plan.unplaced) == ((), 0, 0, CutStatus.OPTIMAL, ())


def test_without_stock_everything_is_unplaced_longest_first() -> None:
    plan = plan_sheets({(300, 200): 1, (400, 900): 2}, [])
    assert (plan.patterns, plan.unplaced) == ((), (((400, 900), 2), ((300, 200), 1)))


def test_a_piece_that_fits_no_sheet_is_unplaced_and_the_rest_is_cut() -> None:
    plan = plan_sheets({(12001, 100): 2, (100, 24001): 1, (12000, 24000): 1}, [BOARD])
    assert plan.unplaced == (((100, 24001), 1), ((12001, 100), 2))
    assert (plan.used, plan.status) == (912, CutStatus.OPTIMAL)


def test_a_board_keeps_its_edges_unless_it_may_be_turned() -> None:
    """20000 across is wider than a board of 12000, and lies along it when turned."""
    assert plan_sheets({(20000, 6000): 2}, [BOARD]).unplaced == (((20000, 6000), 2),)
    turned = plan_sheets({(20000, 6000): 2}, [BOARD], turning=True)
    assert (turned.used, turned.unplaced) == (912, ())
    assert turned.patterns[0].placements == (Placement(20000, 6000, 0, 0, True), Placement(20000, 6000, 6000, 0, True))


def test_the_cuts_of_a_sheet_are_given_in_the_order_they_are_made() -> None:
    """A piece of 8000 by 20000: first the 4000 above it, 12000 wide, or the 4000 beside it, 24000 long. The larger strip is left
    whole: 4000 by 24000, then the 4000 of the rest is cut off above: 8000 by 4000."""
    (pattern,) = plan_sheets({(8000, 20000): 1}, [BOARD]).patterns
    assert pattern.cuts == (
        SheetCut(0, 0, 12000, 24000, across=False, at=8000),
        SheetCut(0, 0, 8000, 24000, across=True, at=20000),
    )
    assert pattern.remainders == ((8000, 0, 4000, 24000), (0, 20000, 8000, 4000))


def test_a_saw_takes_its_kerf_only_where_it_cuts() -> None:
    """5985 + 30 + 5985 = 12000: two side by side, cut once. With 5986 there is no room for the saw."""
    assert plan_sheets({(5985, 24000): 2}, [BOARD], kerf=30).used == 912
    assert plan_sheets({(5986, 24000): 2}, [BOARD], kerf=30).used == 2 * 912
    assert plan_sheets({(12000, 24000): 1}, [BOARD], kerf=30).used == 912


def test_the_cheapest_size_that_holds_the_pieces_is_taken() -> None:
    """Three of 12000 by 10000: two on one board of 24000 (912) and one more; or three on 30000 (1149), which is cheaper."""
    plan = plan_sheets({(12000, 10000): 3}, [BOARD, SheetStock(12000, 30000, 1149)])
    assert [(p.stock, p.copies) for p in plan.patterns] == [(1, 1)]
    assert (plan.used, plan.lower_bound, plan.status) == (1149, 1149, CutStatus.OPTIMAL)


def test_a_dearer_sheet_of_the_same_size_takes_no_part() -> None:
    """Four of 2251 are 9004, so a sheet of 9000 holds three: two sheets at 500. 667 is no sum that a plan could come to."""
    plan = plan_sheets({(2251, 22500): 4}, [SheetStock(9000, 24000, 667), SheetStock(9000, 24000, 500)])
    assert (plan.used, plan.lower_bound, plan.status) == (1000, 1000, CutStatus.OPTIMAL)
    assert {p.stock for p in plan.patterns} == {1}


def test_offcuts_already_paid_for_are_used_and_no_more_of_them_than_there_are() -> None:
    stock = [BOARD, SheetStock(5000, 11000, 0, 2)]
    plan = plan_sheets({(4000, 9000): 2, (12000, 24000): 1}, stock)
    assert [(p.stock, p.copies) for p in plan.patterns] == [(0, 1), (1, 2)]
    assert (plan.used, plan.lower_bound, plan.status) == (912, 912, CutStatus.OPTIMAL)


def test_where_limited_stock_runs_out_the_plan_says_so() -> None:
    plan = plan_sheets({(900, 900): 5}, [SheetStock(1000, 2000, 10, 2)])
    assert (sum(p.copies for p in plan.patterns), plan.unplaced) == (2, (((900, 900), 1),))
    assert plan.status is CutStatus.HEURISTIC


def test_equal_stock_named_twice_is_taken_from_the_first_first() -> None:
    plan = plan_sheets({(900, 900): 3}, [SheetStock(1000, 1000, 5, 1), SheetStock(1000, 1000, 5, 4)])
    assert [(p.stock, p.copies) for p in plan.patterns] == [(0, 1), (1, 2)]


def test_drops_as_wide_as_the_roll_are_cut_as_bars_and_one_roll_is_proven_enough() -> None:
    """Six drops of 2600 mm off a roll of 50 m are 15.6 m; twenty are 52 m, nineteen to a roll, so two rolls."""
    roll = SheetStock(15000, 500000, 1)
    assert plan_sheets({(15000, 26000): 6}, [roll]).used == 1
    two = plan_sheets({(15000, 26000): 20}, [roll])
    assert (two.used, two.lower_bound, two.status) == (2, 2, CutStatus.OPTIMAL)


def test_a_narrow_strip_goes_beside_others_on_a_roll() -> None:
    """A roll of 1200 by 8000 holds three rows of 2500, two bays of 600 in each: six strips on one, a seventh on another."""
    roll = SheetStock(12000, 80000, 1)
    assert plan_sheets({(6000, 25000): 6}, [roll]).used == 1
    assert plan_sheets({(6000, 25000): 7}, [roll]).used == 2


def test_a_bound_that_took_exhaustion_says_that_it_holds_for_straight_cuts_only() -> None:
    """Pieces of 6 by 4 and 4 by 6 go around a hole of 2 by 2 on a sheet of 10 by 10: four pieces, and no straight cut parts
    them. By straight cuts they take two sheets; a bound over every packing can never prove more than one."""
    plan = plan_sheets({(6, 4): 2, (4, 6): 2}, [SheetStock(10, 10, 1)])
    assert (plan.used, plan.lower_bound, plan.bound, plan.status) == (2, 2, SheetBound.GUILLOTINE, CutStatus.OPTIMAL)
    assert plan.certificate is not None
    assert plan.certificate.proves == 1


def test_a_hundred_thousand_pieces_are_no_harder_than_a_hundred() -> None:
    """Whole boards, and halves of which two make one: no piece of a whole board leaves room for any other."""
    plan = plan_sheets({(12000, 24000): 60_000, (6000, 24000): 40_000}, [BOARD])
    assert (plan.used, plan.lower_bound, plan.status) == (80_000 * 912, 80_000 * 912, CutStatus.OPTIMAL)
    assert len(plan.patterns) <= 2


def test_a_problem_too_large_to_tabulate_still_has_a_plan_and_an_honest_label() -> None:
    """Sizes in some far finer unit by mistake."""
    pieces = {(1_000_003 * n, 2_000_003 * n + 1): 3 for n in range(1, 40)}
    plan = plan_sheets(pieces, [SheetStock(80_000_001, 160_000_001, 7)])
    assert plan.certificate is None
    assert 0 < plan.lower_bound <= plan.used
    assert plan.status in (CutStatus.HEURISTIC, CutStatus.BOUNDED)


def test_prices_beyond_32_bits_are_exact() -> None:
    prices = 10**15 + 1, 10**15 + 7
    plan = plan_sheets(
        {(12000, 24000): 1, (12000, 30000): 1}, [SheetStock(12000, 24000, prices[0]), SheetStock(12000, 30000, prices[1])]
    )
    assert plan.used == sum(prices)


def test_free_stock_without_limit_makes_everything_free() -> None:
    plan = plan_sheets({(500, 400): 7, (300, 300): 2}, [SheetStock(1000, 1000, 0), SheetStock(400, 600, 3)])
    assert (plan.used, plan.lower_bound, plan.status) == (0, 0, CutStatus.OPTIMAL)


def test_a_plan_is_plain_enough_for_json() -> None:
    plan = plan_sheets(ROOM, ROOM_STOCK)
    assert orjson.loads(orjson.dumps(asdict(plan)))["used"] == plan.used


IN_ANOTHER_PROCESS = """
import sys
sys.path.insert(0, sys.argv[1])
from sheet_problems import ROOM, ROOM_STOCK
from service.engine.cutting.sheets import plan_sheets
print(plan_sheets(ROOM, ROOM_STOCK, kerf=20), end="")
"""


@pytest.mark.parametrize("seed", ["1", "2"])
def test_another_process_with_other_hashes_makes_the_same_plan_and_prints_nothing_else(seed: str) -> None:
    run = subprocess.run(
        [sys.executable, "-c", IN_ANOTHER_PROCESS, os.path.dirname(__file__)],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout == str(plan_sheets(ROOM, ROOM_STOCK, kerf=20))
    assert run.stderr == ""
