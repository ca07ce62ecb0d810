"""What holds of every flat plan. That pieces lie where they should is put to the checker once more, and to other methods:
polygons, and a search for cuts that never looks at those the plan lists."""

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box, union_all
from sheet_problems import Problem, problems

from service.engine.cutting.sheet_check import area_bound, check_sheet_plan, prove_sheet_bound
from service.engine.cutting.sheet_problem import Area, SheetPlan, SheetStock
from service.engine.cutting.sheets import plan_sheets
from service.vocabulary import CutStatus


@given(problems())
def test_a_plan_passes_its_check_and_its_bound_is_at_least_that_of_the_area(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    plan = plan_sheets(pieces, stock, turning=turning, kerf=kerf)
    check_sheet_plan(pieces, stock, plan, turning, kerf)
    left = dict(plan.unplaced)
    placed = {size: n for size, count in pieces.items() if (n := count - left.get(size, 0))}
    assert area_bound(placed, stock, kerf, turning) <= plan.lower_bound <= plan.used
    if plan.certificate is not None:
        assert prove_sheet_bound(placed, stock, plan.certificate, turning, kerf) >= plan.certificate.proves


@settings(max_examples=100)
@given(problems())
def test_pieces_lie_on_their_sheet_apart_from_each_other_and_from_what_remains(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    for pattern in plan_sheets(pieces, stock, turning=turning, kerf=kerf).patterns:
        sheet = box(0, 0, stock[pattern.stock].width, stock[pattern.stock].length)
        laid = [box(p.x, p.y, p.x + p.across, p.y + p.along) for p in pattern.placements]
        left = [box(x, y, x + width, y + length) for x, y, width, length in pattern.remainders]
        whole = union_all([*laid, *left])
        assert sheet.covers(whole)
        assert whole.area == sum(part.area for part in (*laid, *left))
        assert kerf or whole.area == sheet.area


@settings(max_examples=100)
@given(problems())
def test_pieces_can_be_parted_by_straight_cuts(problem: Problem) -> None:
    pieces, stock, turning, kerf = problem
    for pattern in plan_sheets(pieces, stock, turning=turning, kerf=kerf).patterns:
        assert _can_be_parted([(p.x, p.y, p.x + p.across, p.y + p.along) for p in pattern.placements], kerf)


@settings(max_examples=40)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_named_does_not_matter(problem: Problem, shuffle: random.Random) -> None:
    pieces, stock, turning, kerf = problem
    one = plan_sheets(pieces, stock, turning=turning, kerf=kerf)
    names, other_stock = list(pieces.items()), list(stock)
    shuffle.shuffle(names)
    shuffle.shuffle(other_stock)
    other = plan_sheets(dict(names), other_stock, turning=turning, kerf=kerf)
    assert _sheets(one, stock) == _sheets(other, other_stock)
    assert (one.used, one.lower_bound, one.bound, one.status, one.certificate, one.unplaced) == (
        other.used, other.lower_bound, other.bound, other.status, other.certificate, other.unplaced,
    )  # fmt: skip


@settings(max_examples=40)
@given(problems())
def test_more_freedom_never_makes_a_proven_plan_dearer(problem: Problem) -> None:
    """Another sheet to choose from, or leave to turn the pieces, cannot raise the least price."""
    pieces, stock, turning, kerf = problem
    before = plan_sheets(pieces, stock, turning=turning, kerf=kerf)
    for freer in (
        plan_sheets(pieces, [*stock, SheetStock(12000, 26000, 1000)], turning=turning, kerf=kerf),
        plan_sheets(pieces, stock, turning=True, kerf=kerf),
    ):
        if before.unplaced == freer.unplaced and before.status is freer.status is CutStatus.OPTIMAL:
            assert freer.used <= before.used


def _can_be_parted(areas: list[Area], kerf: int) -> bool:
    """`areas`: (left, lower, right, upper). A line at a piece's edge that no piece crosses, then on both sides of it."""
    if len(areas) <= 1:
        return True
    for axis in (0, 1):
        for at in sorted({area[axis + 2] for area in areas})[:-1]:
            before = [area for area in areas if area[axis + 2] <= at]
            beyond = [area for area in areas if area[axis] >= at + kerf]
            if len(before) + len(beyond) == len(areas):
                return _can_be_parted(before, kerf) and _can_be_parted(beyond, kerf)
    return False


def _sheets(plan: SheetPlan, stock: list[SheetStock]) -> list[str]:
    """The sheets to be cut, whatever their place in the stock."""
    return sorted(repr((replace(stock[p.stock], quantity=None), replace(p, stock=0))) for p in plan.patterns)
