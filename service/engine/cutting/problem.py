"""The words of a cutting problem and of its answer; the solver and the checker share these and nothing else.

Lengths in whole mm. Prices in whole units of whatever is to be least: minor units of money, or the length itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.vocabulary import CutStatus


class CutProblemInvalid(ValueError):
    """The problem cannot be posed; `faults` lists every reason."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Stock:
    """One length of bar that can be taken. `quantity` None: as many as wanted. Price 0 is meant for offcuts already paid for."""

    length_mm: int
    price: int
    quantity: int | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """`copies` bars of `stock` (its place in the stock as given), each cut into `counts`: (mm, how many), longest first."""

    stock: int
    counts: tuple[tuple[int, int], ...]
    copies: int


@dataclass(frozen=True, slots=True)
class Certificate:
    """A proof of a lower bound that needs no trust in the solver.

    Give each piece the worth `value / scale` of its length. Work out, by a knapsack over whole mm, the most that one bar can
    hold. No bar of unlimited number holds more than its price; a limited one may, and costs the excess once for each that there
    is. Then every plan costs at least the worth of all pieces less those excesses, hence at least the next sum that prices can
    make: `proves`.
    """

    values: tuple[tuple[int, int], ...]
    scale: int
    proves: int


@dataclass(frozen=True, slots=True)
class BarPlan:
    """What to cut from what.

    `used`: the price of all bars. `lower_bound`: no plan that cuts the same pieces costs less. Where it is more than
    `certificate.proves`, the rest was shown by search: every pattern that a cheaper plan could contain was listed, and an integer
    program found no plan among them. `unplaced`: (length in mm, how many) that no stock holds, or that limited stock ran out for.

    `status`: optimal when `used` is the lower bound and stock did not run out; bounded when the certificate leaves a gap;
    heuristic when the bound is only material times the best price a mm, or when stock ran out: which pieces then go without is a
    choice that is not proven.
    """

    patterns: tuple[Pattern, ...]
    used: int
    lower_bound: int
    status: CutStatus
    certificate: Certificate | None
    unplaced: tuple[tuple[int, int], ...]


def check_problem(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int) -> None:
    """Raises CutProblemInvalid with every fault of a problem posed in the wrong terms."""
    faults: list[str] = []
    if not _whole(kerf_mm, 0):
        faults.append(f"kerf must be a whole number of mm, 0 or more, is {kerf_mm!r}")
    for length, count in sorted(pieces.items(), key=repr):
        if not _whole(length, 1):
            faults.append(f"a piece's length must be a whole number of mm above 0, is {length!r}")
        if not _whole(count, 0):
            faults.append(f"the number of pieces of {length!r} must be a whole number, 0 or more, is {count!r}")
    for place, s in enumerate(stock):
        if not _whole(s.length_mm, 1):
            faults.append(f"stock {place}: length must be a whole number of mm above 0, is {s.length_mm!r}")
        if not _whole(s.price, 0):
            faults.append(f"stock {place}: price must be a whole number, 0 or more, is {s.price!r}")
        if s.quantity is not None and not _whole(s.quantity, 0):
            faults.append(f"stock {place}: quantity must be a whole number, 0 or more, or not given, is {s.quantity!r}")
    if faults:
        raise CutProblemInvalid(faults)


def _whole(value: object, least: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= least
