"""What flat cutting is given and what it answers. Whole tenths of a millimetre; x across a sheet's width, y along its length."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.vocabulary import CutStatus

Rectangle = tuple[int, int]
"""Width and length."""
Free = tuple[int, int, int, int]
"""x, y, width, length."""


@dataclass(frozen=True, slots=True)
class SheetStock:
    """A size of sheet or roll: `price` in whole units of what is to be least, `quantity` None where there is no end of it."""

    width: int
    length: int
    price: int
    quantity: int | None = None


@dataclass(frozen=True, slots=True, order=True)
class Placement:
    """A piece as it lies: `turned` where its own width runs along the sheet."""

    y: int
    x: int
    width: int
    length: int
    turned: bool

    @property
    def asked(self) -> Rectangle:
        """The piece's own width and length."""
        return (self.length, self.width) if self.turned else (self.width, self.length)


@dataclass(frozen=True, slots=True)
class SheetPattern:
    """`copies` sheets of `stock` cut alike. `remainders`: rectangles that cuts from edge to edge leave, largest first."""

    stock: int
    placements: tuple[Placement, ...]
    remainders: tuple[Free, ...]
    copies: int


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """`used`: the sheets' prices; no packing whatever costs less than `lower_bound`. `unplaced`: sizes that no sheet holds."""

    patterns: tuple[SheetPattern, ...]
    used: int
    lower_bound: int
    bound: str
    status: CutStatus
    unplaced: tuple[tuple[Rectangle, int], ...]


def check_problem(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock]) -> None:
    """Raises ValueError with every fault of a problem."""
    faults = [f"piece {size}: width and length must be positive" for size in pieces if min(size) <= 0]
    faults += [f"piece {size}: {count} of it; must not be negative" for size, count in pieces.items() if count < 0]
    for i, sheet in enumerate(stock):
        if min(sheet.width, sheet.length) <= 0:
            faults.append(f"stock {i}: width and length must be positive")
        if sheet.price < 0 or (sheet.price == 0 and sheet.quantity is None):
            faults.append(f"stock {i}: price must be positive, or 0 for a limited quantity")
        if sheet.quantity is not None and sheet.quantity < 0:
            faults.append(f"stock {i}: quantity must not be negative")
    if faults:
        raise ValueError("; ".join(faults))


def holds(sheet: SheetStock, size: Rectangle, turning: bool) -> bool:
    upright = size[0] <= sheet.width and size[1] <= sheet.length
    return upright or (turning and size[1] <= sheet.width and size[0] <= sheet.length)
