"""The front of flat cutting, sheets and rolls: rectangles and stock in, a plan of straight edge-to-edge cuts and a bound out."""

from collections.abc import Mapping, Sequence

from service.engine.cutting.sheet_check import check_sheet_plan
from service.engine.cutting.sheet_problem import (
    Area,
    Placement,
    Rectangle,
    SheetBound,
    SheetCertificate,
    SheetCut,
    SheetPattern,
    SheetPlan,
    SheetStock,
    check_sheet_problem,
)
from service.engine.cutting.sheet_solver.block import Layout
from service.engine.cutting.sheet_solver.instance import SheetInstance, Take, canonical, holds
from service.engine.cutting.sheet_solver.search import Answer, solve
from service.vocabulary import CutStatus


def plan_sheets(
    pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], *, turning: bool = False, kerf: int = 0, worth: int = 1
) -> SheetPlan:
    """Cuts `pieces` ((width, length): how many) from `stock` at least cost, and says how good the plan is known to be.

    A roll is a long sheet. Every cut goes straight from edge to edge of the part it is made in. A piece keeps its width across
    the sheet unless `turning`. Sizes and kerf are whole units of one kind, as a rule tenths of a millimetre. Among plans of
    one cost smaller sheets are preferred, then one large remainder to several small ones where that takes no more patterns, as
    far as the work limits go. No long search is made for a saving less than `worth`.

    The same problem gives the same plan, in whatever order pieces and stock are named. Pieces that no stock holds, or for which
    limited stock runs out, are in `unplaced`. Every plan is checked before it is given out.

    Raises:
        CutProblemInvalid: sizes not whole and above 0, prices or numbers below 0; with every fault.
    """
    check_sheet_problem(pieces, stock, kerf)
    there = [s for s in stock if s.quantity != 0]
    fitting = {size: n for size, n in pieces.items() if n > 0 and any(holds(s, size, turning) for s in there)}
    left = {size: n for size, n in pieces.items() if n > 0 and size not in fitting}
    instance = canonical(fitting, stock, turning, kerf)
    answer = solve(instance, worth)
    ran_out = {size: n for size, n in zip(instance.sizes, answer.left, strict=True) if n}
    plan = SheetPlan(
        patterns=_patterns(instance, answer.takes),
        used=instance.cost(answer.takes),
        lower_bound=answer.lower_bound,
        bound=answer.bound,
        status=_status(instance, answer, bool(ran_out)),
        certificate=answer.certificate,
        unplaced=tuple(sorted((left | ran_out).items(), key=lambda entry: (-entry[0][1], -entry[0][0]))),
    )
    check_sheet_plan(pieces, stock, plan, turning, kerf)
    return plan


def _status(instance: SheetInstance, answer: Answer, ran_out: bool) -> CutStatus:
    if ran_out:
        return CutStatus.HEURISTIC
    if answer.lower_bound == instance.cost(answer.takes):
        return CutStatus.OPTIMAL
    proven = answer.certificate is not None or answer.bound is SheetBound.GUILLOTINE
    return CutStatus.BOUNDED if proven else CutStatus.HEURISTIC


def _patterns(instance: SheetInstance, takes: Sequence[Take]) -> tuple[SheetPattern, ...]:
    """Names sizes and stock as given. Equal sheets that were given in several places are taken from the first places first."""
    patterns = []
    there = {place: quantity for sheet in instance.sheets for place, quantity in sheet.places}
    for take in takes:
        sheet = instance.sheets[take.sheet]
        layout = Layout(instance.sizes, instance.kerf)
        layout.lay(take.block, sheet.width, sheet.length)
        copies = take.copies
        for place, _ in sheet.places:
            quantity = there[place]
            n = copies if quantity is None else min(copies, quantity)
            if n == 0:
                continue
            patterns.append(SheetPattern(place, tuple(layout.placements), tuple(layout.remainders), tuple(layout.cuts), copies=n))
            if quantity is not None:
                there[place] = quantity - n
            copies -= n
    return tuple(patterns)


__all__ = [
    "Area",
    "Placement",
    "Rectangle",
    "SheetBound",
    "SheetCertificate",
    "SheetCut",
    "SheetPattern",
    "SheetPlan",
    "SheetStock",
    "plan_sheets",
]
