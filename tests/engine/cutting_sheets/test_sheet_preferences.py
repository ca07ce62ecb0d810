"""Among plans of one cost: smaller sheets, and what is left over in one place. And parts of the solver held by hand."""

from dataclasses import replace

from service.engine.cutting.sheet_problem import SheetStock
from service.engine.cutting.sheet_solver.block import above, beside
from service.engine.cutting.sheet_solver.gather import gather
from service.engine.cutting.sheet_solver.incumbent import Incumbent
from service.engine.cutting.sheet_solver.instance import Take, canonical
from service.engine.cutting.sheet_solver.mend import mend
from service.engine.cutting.sheet_solver.sets import FittingSets
from service.engine.cutting.sheet_solver.shelves import shelf_plan
from service.engine.cutting.sheet_solver.strips import counts_of
from service.engine.cutting.sheets import plan_sheets

BOARD = SheetStock(12000, 24000, 912)
# Sorted longest first: item 0 is a quarter of the board, item 1 an eighth.
QUARTERS = {(6000, 12000): 4, (6000, 6000): 4}


def _takes(*counts: tuple[int, int]) -> tuple[Incumbent, list[Take]]:
    """Boards that hold so many quarters and eighths, each on two columns of the board, made by hand."""
    instance = canonical(QUARTERS, [BOARD], turning=False, kerf=0)
    instance = replace(instance, demand=(sum(c[0] for c in counts), sum(c[1] for c in counts)))
    takes = []
    for count in counts:
        alone = replace(instance, demand=count)
        (take,), left = shelf_plan(alone, count, [None])
        assert not any(left)
        takes.append(take)
    return Incumbent(instance, takes), takes


def test_of_sheets_at_one_price_the_smaller_is_taken() -> None:
    stock = [SheetStock(12000, 30000, 1), SheetStock(12000, 24000, 1)]
    assert [p.stock for p in plan_sheets({(7000, 20000): 2}, stock).patterns] == [1]
    assert [p.stock for p in plan_sheets({(7000, 25000): 2}, stock).patterns] == [0]


def test_what_is_left_over_is_left_in_one_place() -> None:
    """Boards of two quarters and of three quarters of an eighth's size: 1/2 and 3/8 full. Together 7/8: one board holds all."""
    best, takes = _takes((2, 0), (0, 3))
    (one,) = gather(best.instance, takes)
    assert one.counts == (2, 3)


def test_a_board_is_filled_from_the_emptiest() -> None:
    """Three quarters, and a quarter and three eighths: 3/4 and 5/8. The fullest first board takes a quarter: 1 and 3/8."""
    best, takes = _takes((3, 0), (1, 3))
    assert sorted(t.counts for t in gather(best.instance, takes)) == [(0, 3), (4, 0)]


def test_sheets_cut_alike_are_left_alone() -> None:
    best, takes = _takes((3, 0))
    instance = replace(best.instance, demand=(6, 0))
    alike = [replace(takes[0], copies=2)]
    assert gather(instance, alike) == alike


def test_a_plan_of_half_empty_boards_is_mended() -> None:
    """Four boards of a quarter each and four of an eighth, 1 1/2 boards in all: two do."""
    best, _ = _takes((1, 0), (1, 0), (1, 0), (1, 0), (0, 1), (0, 1), (0, 1), (0, 1))
    assert best.cost == 8 * 912
    mend(best.instance, best, enough=0)
    assert best.cost == 2 * 912
    assert tuple(sum(t.counts[i] * t.copies for t in best.takes) for i in (0, 1)) == (4, 4)


def test_the_sets_that_fit_a_sheet_are_just_those_that_straight_cuts_get_out_of_it() -> None:
    """On 10 by 10: 6 by 4 and 4 by 6 fit in threes, whichever, but not the four of them, which go around a hole."""
    instance = canonical({(6, 4): 2, (4, 6): 2}, [SheetStock(10, 10, 1)], turning=False, kerf=0)
    sets = FittingSets(instance)
    assert sets.list_all(100, 1000)
    assert sorted(sets.counts(key) for key in sets.boxes) == [(0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (2, 0), (2, 1)]
    block = sets.block((2, 1), 0)
    assert counts_of(instance, block) == (2, 1)
    assert block.width <= 10
    assert block.length <= 10


def test_a_limit_on_sets_stops_their_listing_and_is_said() -> None:
    instance = canonical({(6, 4): 2, (4, 6): 2}, [SheetStock(10, 10, 1)], turning=False, kerf=0)
    assert not FittingSets(instance).list_all(3, 1000)
    assert not FittingSets(instance).list_all(100, 1)


def test_a_block_measures_what_its_parts_take() -> None:
    instance = canonical({(6, 4): 1, (4, 6): 1}, [SheetStock(10, 10, 1)], turning=False, kerf=0)
    sets = FittingSets(instance)
    sets.list_all(100, 1000)
    one, other = sets.block((1, 0), 0), sets.block((0, 1), 0)
    assert (beside([one, other]).width, beside([one, other]).length) == (10, 6)
    assert (above([one, other]).width, above([one, other]).length) == (6, 10)
