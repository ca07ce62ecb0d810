"""Packs rectangles on sheets by straight cuts from edge to edge, in a number of ways, and keeps the cheapest.

Each way fills one sheet after another: pieces in a fixed order go into the free rectangle that they fill best, which is then
divided by one cut along the piece's side and one across it. Everything is decided by size; ties go to what comes first.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from service.engine.cutting.flat_problem import Free, Placement, Rectangle, SheetStock

Order = Callable[[Rectangle], tuple[int, ...]]
ORDERS: tuple[Order, ...] = (
    lambda size: (-size[1], -size[0]),
    lambda size: (-size[0], -size[1]),
    lambda size: (-size[0] * size[1], -size[1]),
)
SPLITS = ("along", "across", "larger")
MANY_PIECES = 400
"""From here on fewer ways are tried: each takes time that grows with the square of the pieces."""


@dataclass(slots=True)
class OpenSheet:
    stock: int
    placements: list[Placement]
    free: list[Free]


def pack(pieces: Sequence[Rectangle], stock: Sequence[SheetStock], turning: bool) -> list[OpenSheet] | None:
    """The cheapest packing found of all pieces, each of which some sheet holds; None where limited stock runs out."""
    best: tuple[tuple[int, int, int], list[OpenSheet]] | None = None
    ways = product(range(len(ORDERS)), SPLITS, range(len(stock)))
    for order, split, opener in list(ways)[:: 1 if len(pieces) < MANY_PIECES else 3]:
        sheets = _one_way(sorted(pieces, key=ORDERS[order]), stock, turning, split, opener)
        if sheets is None:
            continue
        sheets = [_cheaper(sheet, stock, turning) for sheet in sheets]
        if _runs_out(sheets, stock):
            continue
        cost = sum(stock[sheet.stock].price for sheet in sheets)
        kept = max((free[2] * free[3] for sheet in sheets for free in sheet.free), default=0)
        rank = (cost, len({_shape(sheet) for sheet in sheets}), -kept)
        if best is None or rank < best[0]:
            best = (rank, sheets)
    return None if best is None else best[1]


def _shape(sheet: OpenSheet) -> tuple[int, tuple[Placement, ...]]:
    return sheet.stock, tuple(sorted(sheet.placements))


def _runs_out(sheets: Sequence[OpenSheet], stock: Sequence[SheetStock]) -> bool:
    used = [0] * len(stock)
    for sheet in sheets:
        used[sheet.stock] += 1
    return any(s.quantity is not None and used[i] > s.quantity for i, s in enumerate(stock))


def _one_way(
    pieces: Sequence[Rectangle], stock: Sequence[SheetStock], turning: bool, split: str, opener: int
) -> list[OpenSheet] | None:
    sheets: list[OpenSheet] = []
    left = [s.quantity for s in stock]
    for piece in pieces:
        if any(_place(sheet, piece, turning, split) for sheet in sheets):
            continue
        opened = _open(piece, stock, turning, opener, left)
        if opened is None or not _place(opened, piece, turning, split):
            return None
        sheets.append(opened)
    return sheets


def _open(piece: Rectangle, stock: Sequence[SheetStock], turning: bool, opener: int, left: list[int | None]) -> OpenSheet | None:
    """A new sheet that holds the piece: limited ones first, then the opener's size, then the cheapest that does."""
    choices = [
        (left[i] is None, i != opener, s.price, i)
        for i, s in enumerate(stock)
        if left[i] != 0 and _lies(piece, s.width, s.length, turning)
    ]
    if not choices:
        return None
    *_, i = min(choices)
    count = left[i]
    if count is not None:
        left[i] = count - 1
    return OpenSheet(i, [], [(0, 0, stock[i].width, stock[i].length)])


def _lies(piece: Rectangle, width: int, length: int, turning: bool) -> list[tuple[int, int, bool]]:
    """The ways a piece may lie in a space: upright first."""
    w, h = piece
    ways = [(w, h, False)] if w <= width and h <= length else []
    if turning and w != h and h <= width and w <= length:
        ways.append((h, w, True))
    return ways


def _place(sheet: OpenSheet, piece: Rectangle, turning: bool, split: str) -> bool:
    """Puts the piece where it leaves the least beside it; False where it does not fit."""
    best = None
    for n, (x, y, width, length) in enumerate(sheet.free):
        for w, h, turned in _lies(piece, width, length, turning):
            rank = (min(width - w, length - h), (width - w) * (length - h), turned, n)
            if best is None or rank < best[0]:
                best = (rank, n, Placement(y, x, w, h, turned))
    if best is None:
        return False
    _, n, placement = best
    sheet.placements.append(placement)
    sheet.free[n : n + 1] = _divide(sheet.free[n], placement, split)
    return True


def _divide(free: Free, piece: Placement, split: str) -> list[Free]:
    """What two cuts leave of a free rectangle whose lower left corner the piece takes."""
    x, y, width, length = free
    beside, beyond = width - piece.width, length - piece.length
    across = split == "across" or (split == "larger" and beside * length < beyond * width)
    if across:  # the first cut goes across the sheet, beyond the piece
        parts = [(x + piece.width, y, beside, piece.length), (x, y + piece.length, width, beyond)]
    else:
        parts = [(x + piece.width, y, beside, length), (x, y + piece.length, piece.width, beyond)]
    return [part for part in parts if part[2] > 0 and part[3] > 0]


def _cheaper(sheet: OpenSheet, stock: Sequence[SheetStock], turning: bool) -> OpenSheet:
    """The same pieces on the cheapest sheet that one of the ways gets them on."""
    pieces = [placement.asked for placement in sheet.placements]
    for price, i in sorted((s.price, i) for i, s in enumerate(stock) if s.quantity is None):
        if price >= stock[sheet.stock].price:
            break
        for order, split in product(ORDERS, SPLITS):
            trial = OpenSheet(i, [], [(0, 0, stock[i].width, stock[i].length)])
            if all(_place(trial, piece, turning, split) for piece in sorted(pieces, key=order)):
                return trial
    return sheet
