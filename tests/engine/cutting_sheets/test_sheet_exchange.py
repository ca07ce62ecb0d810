"""Plans bettered by exchange: where shelves filled in a plain order fall short."""

import random
from collections import Counter

import pytest

from service.engine.cutting.sheet_problem import SheetStock
from service.engine.cutting.sheet_solver.exchange import Draw, exchange
from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import canonical
from service.engine.cutting.sheet_solver.shelves import shelf_plan
from service.engine.cutting.sheets import plan_sheets
from service.vocabulary import CutStatus

ROLL = SheetStock(12000, 80000, 1)
STRIPS = {
    49150: (12000, 10000),
    29150: (7000,),
    27150: (12000, 9200, 7331, 7000, 3500, 3500, 3300, 2500, 2071, 2000, 2000, 1750, 1750, 1740, 200),
    26150: (12000, 5200),
    25150: (12000, 12000, 11200, 9000, 7300, 6000, 5200, 4800, 4200, 3000, 1800, 700),
    24272: (12000,),
    21817: (6000,),
    19650: (7200, 7000),
    17650: (9000,),
    10650: (12000, 6000),
    10150: (9000,),
    9150: (9000, 7000),
    7150: (10000, 5000, 5000),
    5150: (10000, 5000, 5000),
    4550: (9000,),
    4150: (12000, 9000, 3000),
    3650: (12000, 6000),
}
"""Insulation for five invented rooms: length and widths, in tenths of a mm. Together 7.34 rolls, so 8 at the least."""


def test_strips_for_five_rooms_come_off_as_many_rolls_as_their_area_asks() -> None:
    pieces = Counter((width, length) for length, widths in STRIPS.items() for width in widths)
    area = sum(width * length * n for (width, length), n in pieces.items())
    assert -(-area // (ROLL.width * ROLL.length)) == 8
    takes, _ = shelf_plan(canonical(pieces, [ROLL], False, 0), tuple(n for _, n in sorted(pieces.items(), key=_longest)), [None])
    assert sum(take.copies for take in takes) == 9  # a plain order of shelves takes one more
    plan = plan_sheets(pieces, [ROLL])
    assert (plan.used, plan.lower_bound, plan.status) == (8, 8, CutStatus.OPTIMAL)


def _longest(entry: tuple[tuple[int, int], int]) -> tuple[int, int]:
    (width, length), _ = entry
    return -length, -width


@pytest.mark.parametrize("turning", [False, True])
@pytest.mark.parametrize("limit", [None, 2])
def test_an_exchange_never_loses_a_piece_nor_takes_more_than_there_is(turning: bool, limit: int | None) -> None:
    """Random pieces on two sizes of sheet; where the smaller one is cheap and few, what it holds stays where it is."""
    bettered = 0
    for seed in range(12):
        draw = random.Random(seed)
        pieces = Counter((draw.randint(200, 900), draw.randint(200, 900)) for _ in range(25))
        stock = [SheetStock(1200, 2400, 100), SheetStock(1200, 1500, 10 if limit else 64, limit)]
        instance = canonical(pieces, stock, turning, 3)
        takes, left = shelf_plan(instance, instance.demand, [sheet.quantity for sheet in instance.sheets])
        assert not any(left)
        best = Incumbent(instance, takes)
        before = best.cost
        exchange(instance, best, 0, 15_000)
        assert best.cost <= before
        bettered += best.cost < before
        for item, wanted in enumerate(instance.demand):
            assert sum(take.counts[item] * take.copies for take in best.takes) >= wanted
        for number, sheet in enumerate(instance.sheets):
            used = sum(take.copies for take in best.takes if take.sheet == number)
            assert sheet.quantity is None or used <= sheet.quantity
        for take in best.takes:
            sheet = instance.sheets[take.sheet]
            assert take.block.width <= sheet.width and take.block.length <= sheet.length
    assert bettered > 0 or limit


def test_the_ten_thousandth_number_drawn_is_the_one_its_authors_publish() -> None:
    """Park and Miller (1988), section on testing: from 1, the minimal standard generator comes to 1043618065."""
    draw = Draw()
    assert all(0 <= draw.below(6) < 6 for _ in range(10_000))
    assert draw.state == 1_043_618_065
