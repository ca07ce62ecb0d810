"""The words of a flat cutting problem and of its answer; the solver and the checker share these and nothing else.

All sizes are whole units of one kind, as a rule tenths of a millimetre. A width lies across the sheet or roll (x), a length along
it (y); both count from the lower left corner. Prices in whole units of whatever is to be least: minor units of money, an area, or
1 a sheet.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from service.engine.cutting.problem import CutProblemInvalid
from service.vocabulary import CutStatus

Rectangle = tuple[int, int]
"""(width, length)."""
Area = tuple[int, int, int, int]
"""(x, y, width, length)."""


class SheetBound(StrEnum):
    """Over what a lower bound holds."""

    GUILLOTINE = "guillotine"
    ANY_PACKING = "any_packing"


@dataclass(frozen=True, slots=True)
class SheetStock:
    """One size of sheet or roll. `quantity` None: as many as wanted. Price 0 is meant for what is already paid for."""

    width: int
    length: int
    price: int
    quantity: int | None = None


@dataclass(frozen=True, slots=True)
class Placement:
    """One piece, by its size as it was asked for; `turned`: its width lies along the sheet."""

    width: int
    length: int
    x: int
    y: int
    turned: bool = False

    @property
    def across(self) -> int:
        """What it takes of the sheet's width."""
        return self.length if self.turned else self.width

    @property
    def along(self) -> int:
        """What it takes of the sheet's length."""
        return self.width if self.turned else self.length


@dataclass(frozen=True, slots=True)
class SheetCut:
    """One straight cut from edge to edge of the part at (x, y), `width` by `length`.

    `across`: the line lies across the part, `at` from its lower edge; otherwise along it, `at` from its left edge. A saw takes
    its kerf beyond `at`.
    """

    x: int
    y: int
    width: int
    length: int
    across: bool
    at: int


@dataclass(frozen=True, slots=True)
class SheetPattern:
    """`copies` sheets of `stock` (its place in the stock as given) cut alike.

    `cuts`, made in their order, take the sheet apart into the `placements` and the free rectangles `remainders`, largest first.
    """

    stock: int
    placements: tuple[Placement, ...]
    remainders: tuple[Area, ...]
    cuts: tuple[SheetCut, ...]
    copies: int


@dataclass(frozen=True, slots=True)
class SheetCertificate:
    """A proof of a lower bound on any packing, by guillotine or not, that needs no trust in the solver.

    Every width and every length has a worth. Work out, by a knapsack, the most worth W that widths side by side can have on a
    sheet, and the most worth L of lengths one above the other: the worth of a piece being the product of its two, no sheet holds
    pieces worth more than W times L (Fekete and Schepers, conservative scales). Where that is at most `scale` times the price,
    all plans cost at least the worth of all pieces over `scale`; a sheet of limited number may hold more, and costs the excess
    once for each that there is. A piece that may be turned is worth the lesser of its two ways.
    """

    widths: tuple[tuple[int, int], ...]
    lengths: tuple[tuple[int, int], ...]
    scale: int
    proves: int


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """What to cut from what.

    `used`: the price of all sheets. `lower_bound`: no plan for the same pieces costs less; `bound` says whether that holds for
    plans of straight edge-to-edge cuts or for every way to lay the pieces. Where it is more than `certificate.proves`, the rest
    was shown by search. `unplaced`: ((width, length), how many) that no stock holds, or that limited stock ran out for.

    `status`: optimal when `used` is the lower bound and stock did not run out; bounded when a bound beyond the material's area
    leaves a gap; heuristic otherwise.
    """

    patterns: tuple[SheetPattern, ...]
    used: int
    lower_bound: int
    bound: SheetBound
    status: CutStatus
    certificate: SheetCertificate | None
    unplaced: tuple[tuple[Rectangle, int], ...]


def check_sheet_problem(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], kerf: int) -> None:
    """Raises CutProblemInvalid with every fault of a problem posed in the wrong terms."""
    faults: list[str] = []
    if not _whole(kerf, 0):
        faults.append(f"kerf must be a whole number, 0 or more, is {kerf!r}")
    for piece, count in sorted(pieces.items(), key=repr):
        if not (isinstance(piece, tuple) and len(piece) == 2 and all(_whole(side, 1) for side in piece)):
            faults.append(f"a piece must have a width and a length, whole numbers above 0, is {piece!r}")
        if not _whole(count, 0):
            faults.append(f"the number of pieces of {piece!r} must be a whole number, 0 or more, is {count!r}")
    for place, s in enumerate(stock):
        for name, value, least in (("width", s.width, 1), ("length", s.length, 1), ("price", s.price, 0)):
            if not _whole(value, least):
                faults.append(f"stock {place}: {name} must be a whole number, {least} or more, is {value!r}")
        if s.quantity is not None and not _whole(s.quantity, 0):
            faults.append(f"stock {place}: quantity must be a whole number, 0 or more, or not given, is {s.quantity!r}")
    if faults:
        raise CutProblemInvalid(faults)


def _whole(value: object, least: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= least
