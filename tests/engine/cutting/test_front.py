"""The front: what is refused, what is left unplaced, what is labelled how, and that nothing depends on the run."""

import os
import subprocess
import sys
from dataclasses import asdict

import orjson
import pytest
from problems import JOB, JOB_KERF_MM, JOB_STOCK

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import CutProblemInvalid, Pattern, Stock
from service.vocabulary import CutStatus


def test_every_fault_of_a_bad_problem_is_listed() -> None:
    stock = [Stock(0, 1), Stock(10, -1), Stock(10, 1, -1), Stock(2.5, 1)]  # type: ignore[arg-type]
    with pytest.raises(CutProblemInvalid) as refused:
        plan_bars({-5: 1, 7: -2, True: 1, 1.5: 1}, stock, -1)  # type: ignore[dict-item]
    faults = refused.value.faults
    assert len(faults) == 9
    for of in ("kerf", "-5", "of 7", "True", "1.5", "stock 0", "stock 1: price", "stock 2: quantity", "stock 3: length"):
        assert any(of in fault for fault in faults), of
    assert isinstance(refused.value, ValueError)


def test_nothing_wanted_is_planned_at_no_cost() -> None:
    plan = plan_bars({2400: 0}, [Stock(3000, 500)])
    assert (plan.patterns, plan.used, plan.status, plan.unplaced) == ((), 0, CutStatus.OPTIMAL, ())


def test_without_stock_everything_is_unplaced() -> None:
    plan = plan_bars({2400: 2, 600: 1}, [])
    assert (plan.patterns, plan.unplaced) == ((), ((2400, 2), (600, 1)))


def test_a_piece_longer_than_any_stock_is_unplaced_and_the_rest_is_cut() -> None:
    plan = plan_bars({4201: 2, 2400: 1}, [Stock(2400, 400), Stock(4200, 700)], 3)
    assert plan.unplaced == ((4201, 2),)
    assert plan.patterns == (Pattern(0, ((2400, 1),), 1),)
    assert (plan.used, plan.status) == (400, CutStatus.OPTIMAL)


def test_a_piece_as_long_as_the_bar_needs_no_saw() -> None:
    """And two of 1198 with a cut of 4 between them fill 2400: 1198 + 4 + 1198."""
    assert plan_bars({2400: 1, 1198: 2}, [Stock(2400, 1)], 4).used == 2
    assert plan_bars({2400: 1, 1199: 2}, [Stock(2400, 1)], 4).used == 3


def test_offcuts_already_paid_for_are_used_and_no_more_of_them_than_there_are() -> None:
    """A bar of 2400 holds three of 700, an offcut one. Four: a bar and an offcut. Six: two bars, for the offcuts hold but two."""
    stock = [Stock(2400, 412), Stock(750, 0, 2)]
    four = plan_bars({700: 4}, stock)
    assert four.patterns == (Pattern(0, ((700, 3),), 1), Pattern(1, ((700, 1),), 1))
    assert (four.used, four.lower_bound) == (412, 412)
    six = plan_bars({700: 6}, stock)
    assert (six.used, six.lower_bound, six.status) == (824, 824, CutStatus.OPTIMAL)


def test_where_limited_stock_runs_out_the_plan_says_so() -> None:
    plan = plan_bars({900: 5}, [Stock(2000, 10, 2)])
    assert plan.patterns == (Pattern(0, ((900, 2),), 2),)
    assert (plan.unplaced, plan.status) == (((900, 1),), CutStatus.HEURISTIC)


def test_equal_stock_named_twice_is_taken_from_the_first_first() -> None:
    plan = plan_bars({1000: 3}, [Stock(1000, 5, 1), Stock(1000, 5, 4)])
    assert plan.patterns == (Pattern(0, ((1000, 1),), 1), Pattern(1, ((1000, 1),), 2))


def test_a_million_pieces_are_no_harder_than_a_hundred() -> None:
    """Bars of 3000 hold one of 2400 and, once, two of 1400, so 400 000 bars at least: 2400s share no bar."""
    plan = plan_bars({2400: 400_000, 590: 400_000, 1400: 200_000}, [Stock(3000, 500)], 3)
    assert (plan.used, plan.lower_bound, plan.status) == (500 * 500_000, 500 * 500_000, CutStatus.OPTIMAL)
    assert len(plan.patterns) <= 3


def test_a_problem_too_large_to_tabulate_still_has_a_plan_and_an_honest_label() -> None:
    """Lengths in some finer unit by mistake: 400 lengths in bars of 3 km."""
    plan = plan_bars({1001 * n: 3 for n in range(1, 401)}, [Stock(3_000_001, 3_000_001)], 3)
    assert (plan.status, plan.certificate) == (CutStatus.HEURISTIC, None)
    assert 0 < plan.lower_bound < plan.used < 1.1 * plan.lower_bound


def test_prices_beyond_32_bits_are_exact() -> None:
    """One bar of each price: the sum must come out to the last unit."""
    prices = 10**15 + 1, 10**15 + 7
    assert plan_bars({2400: 1, 3500: 1}, [Stock(2400, prices[0]), Stock(3600, prices[1])]).used == sum(prices)


def test_free_stock_without_limit_makes_everything_free() -> None:
    plan = plan_bars({500: 7}, [Stock(1000, 0), Stock(400, 3)])
    assert (plan.used, plan.lower_bound, plan.status) == (0, 0, CutStatus.OPTIMAL)


def test_a_certificate_is_plain_enough_for_json() -> None:
    certificate = plan_bars(JOB, JOB_STOCK, JOB_KERF_MM).certificate
    assert certificate is not None
    assert orjson.loads(orjson.dumps(asdict(certificate)))["scale"] == certificate.scale


IN_ANOTHER_PROCESS = """
import sys
sys.path.insert(0, sys.argv[1])
from problems import JOB, JOB_KERF_MM, JOB_STOCK
from service.engine.cutting.bars import plan_bars
print(plan_bars(JOB, JOB_STOCK, JOB_KERF_MM), end="")
"""


@pytest.mark.parametrize("seed", ["1", "2"])
def test_another_process_with_other_hashes_makes_the_same_plan_and_prints_nothing_else(seed: str) -> None:
    here = os.path.dirname(__file__)
    run = subprocess.run(
        [sys.executable, "-c", IN_ANOTHER_PROCESS, here],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout == str(plan_bars(JOB, JOB_STOCK, JOB_KERF_MM))
    assert run.stderr == ""
