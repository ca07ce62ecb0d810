"""The front of flat cutting: rectangles and sheets in, a plan of straight cuts with a proven bound out. Rolls are long sheets."""

from collections import Counter
from collections.abc import Mapping, Sequence

from service.engine.cutting.flat_check import check_sheet_plan
from service.engine.cutting.flat_problem import Rectangle, SheetPattern, SheetPlan, SheetStock, check_problem, holds
from service.engine.cutting.flat_solver.bounds import area_bound, lower_bound
from service.engine.cutting.flat_solver.packing import OpenSheet, pack
from service.vocabulary import CutStatus

ANY_PACKING = "any_packing"


def plan_sheets(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], *, turning: bool = False) -> SheetPlan:
    """Cuts every piece that some sheet holds, at the least price found.

    Args:
        pieces: width and length to how many. stock: sizes with prices. turning: whether a piece may lie across.
    Returns:
        A plan of guillotine cuts, checked; `optimal` where its price equals the bound, which holds for any packing. The order of
        pieces makes no difference.
    Raises:
        ValueError: a size or price that cannot be.
    """
    check_problem(pieces, stock)
    wanted = {size: count for size, count in sorted(pieces.items()) if count}
    placeable = {size: count for size, count in wanted.items() if any(holds(sheet, size, turning) for sheet in stock)}
    unplaced = tuple((size, count) for size, count in wanted.items() if size not in placeable)
    sheets = pack([size for size, count in placeable.items() for _ in range(count)], stock, turning) if placeable else []
    if sheets is None:  # limited stock only, and too little of it
        return SheetPlan((), 0, 0, ANY_PACKING, CutStatus.HEURISTIC, tuple(wanted.items()))
    used = sum(stock[sheet.stock].price for sheet in sheets)
    bound = min(used, lower_bound(placeable, stock, turning, used)) if placeable else 0
    plan = SheetPlan(_patterns(sheets), used, bound, ANY_PACKING, _status(used, bound, area_bound(placeable, stock)), unplaced)
    check_sheet_plan(pieces, stock, plan, turning)
    return plan


def _status(used: int, bound: int, by_area: int) -> CutStatus:
    if used == bound:
        return CutStatus.OPTIMAL
    return CutStatus.BOUNDED if bound >= by_area > 0 else CutStatus.HEURISTIC


def _patterns(sheets: Sequence[OpenSheet]) -> tuple[SheetPattern, ...]:
    alike: Counter[tuple[int, tuple[object, ...]]] = Counter()
    first: dict[tuple[int, tuple[object, ...]], OpenSheet] = {}
    for sheet in sheets:
        key = (sheet.stock, tuple(sorted(sheet.placements)))
        alike[key] += 1
        first.setdefault(key, sheet)
    return tuple(
        SheetPattern(
            stock=sheet.stock,
            placements=tuple(sorted(sheet.placements)),
            remainders=tuple(sorted(sheet.free, key=lambda free: (-free[2] * free[3], free))),
            copies=alike[key],
        )
        for key, sheet in first.items()
    )
