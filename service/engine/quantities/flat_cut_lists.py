"""From the flat pieces of a layout to labelled cuts: every piece on one sheet or roll, or in `unplaced` with a finding."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from service.engine.cutting.sheet_problem import Area, Placement, SheetCut, SheetPlan, SheetStock
from service.engine.cutting.sheets import plan_sheets
from service.engine.findings import in_order
from service.engine.inputs import Item, Options
from service.engine.order_results import CutSheet, FlatCutList, PlacedPiece, Remainder, StraightCut
from service.engine.quantities.offers import Choice, Offer, Shelf, choice, plan_with_stock
from service.engine.quantities.pools import pools, unplaced_findings
from service.engine.quantities.share_out import share_out
from service.engine.results import Finding, FlatPiece, WallLayout
from service.vocabulary import ROLL_COMPONENTS, Component, CutDirection, CutStatus, Objective

TENTHS = 10
SHEET_COST = 100_000
"""Without prices the fewest sheets are sought, then the least area: a sheet costs this and its area in square decimetres."""
TURNED = frozenset({Component.INSULATED_LAMINATE})
"""What may be turned on its sheet: linings are bonded and their cut edges covered. Boards keep their paper edge upright."""

Size = tuple[int, int]
"""Width and length in tenths of a millimetre."""


def cut_flat(
    layouts: Sequence[WallLayout],
    items: Sequence[Item],
    options: Options,
    reusable_from_mm: float,
    offcuts: Sequence[tuple[int, Item]] = (),
    *,
    boards_turn: bool = False,
) -> tuple[tuple[FlatCutList, ...], tuple[Finding, ...]]:
    """A cut list for each component of flat pieces, or for each component and room where rooms share no sheets; what has no room.

    Least price is sought where every size of a component has a price, else fewest sheets, then least area. Offcuts and stock on
    hand as of bars (`cut_bars`). `boards_turn`: whether plasterboard may be turned, as linings may. `reusable_from_mm`: a
    remainder at least this long both ways is kept for later.
    """
    shelf = Shelf(items, offcuts)
    cut_lists: list[FlatCutList] = []
    findings: list[Finding] = []
    flat = (piece for of in layouts for piece in (*of.boards, *of.reveals, *of.insulation, *of.membrane))
    for component, room, pieces in pools(flat, options.pool):
        stock = _Stock(choice(shelf.offers(component, len(pieces)), _sheet_size))
        turning = component in TURNED or (boards_turn and component is Component.PLASTERBOARD)
        cut_list = _cut_list(component, room, pieces, stock, reusable_from_mm, turning)
        shelf.take(Offer(sheet.item, offcut=sheet.offcut) for sheet in cut_list.sheets)
        cut_lists.append(cut_list)
        findings += unplaced_findings(cut_list.unplaced, _named, "nothing is large enough", stock.range_held)
    return tuple(cut_lists), in_order(findings)


@dataclass(frozen=True, slots=True)
class _Stock:
    """What a component's pieces can be cut from, and what is to be least."""

    choice: Choice

    @property
    def objective(self) -> Objective:
        return Objective.COUNT if self.choice.per_minor is None else Objective.PRICE

    def for_solver(self) -> list[SheetStock]:
        return [SheetStock(_width(o.item), _length(o.item), self._cost(o), o.quantity) for o in self.choice.offers]

    def _cost(self, offer: Offer) -> int:
        return self.choice.cost(offer, lambda item: SHEET_COST + _area_dm2(item))

    @property
    def worth(self) -> int:
        """What is worth a long search: a sheet fewer, not a smaller one in its place; a tenth of the cheapest sheet's price."""
        if self.objective is Objective.COUNT:
            return SHEET_COST // 2
        return max(1, min((self._cost(offer) for offer in self.choice.bought), default=0) // 10)

    def used(self, plan: SheetPlan) -> int | Decimal:
        if self.objective is Objective.COUNT:
            return sum(pattern.copies for pattern in plan.patterns if self.choice.offers[pattern.stock].offcut is None)
        return self.choice.minor(plan.used)

    def bound(self, plan: SheetPlan) -> int | Decimal:
        """In sheets: no plan of fewer could cost as much as the bound, were all of the dearest size."""
        if self.objective is Objective.COUNT:
            dearest = max((self._cost(offer) for offer in self.choice.bought), default=1)
            return -(-plan.lower_bound // dearest)
        return self.choice.minor(plan.lower_bound)

    @property
    def range_held(self) -> str:
        sizes = ", ".join(dict.fromkeys(f"{offer.item.width_mm} × {offer.item.length_mm}" for offer in self.choice.bought))
        return f"the range holds {sizes} mm" if sizes else "the range holds none at all"


def _sheet_size(item: Item) -> Size | None:
    return (_width(item), _length(item)) if (item.width_mm or 0) > 0 and (item.length_mm or 0) > 0 else None


def _width(item: Item) -> int:
    return (item.width_mm or 0) * TENTHS


def _length(item: Item) -> int:
    return (item.length_mm or 0) * TENTHS


def _area_dm2(item: Item) -> int:
    return (item.width_mm or 0) * (item.length_mm or 0) // 10_000


def _size(piece: FlatPiece) -> Size:
    return round(piece.width_mm * TENTHS), round(piece.length_mm * TENTHS)


def _cut_list(
    component: Component, room: int | None, pieces: list[FlatPiece], stock: _Stock, reusable_from_mm: float, turning: bool
) -> FlatCutList:
    plan = _plan(Counter(_size(piece) for piece in pieces), stock, turning)
    sheets = _sheets(plan, pieces, stock, reusable_from_mm)
    used, bound = stock.used(plan), stock.bound(plan)
    placed = {placed.piece.id for sheet in sheets for placed in sheet.pieces}
    return FlatCutList(
        component=component,
        room=room,
        rolls=component in ROLL_COMPONENTS,
        objective=stock.objective,
        status=CutStatus.OPTIMAL if used == bound else plan.status,
        bound=plan.bound,
        lower_bound=bound,
        used=used,
        sheets=sheets,
        unplaced=tuple(piece for piece in pieces if piece.id not in placed),
    )


def _plan(pieces: Counter[Size], stock: _Stock, turning: bool) -> SheetPlan:
    def plan_from(offered: Choice) -> SheetPlan:
        return plan_sheets(pieces, _Stock(offered).for_solver(), turning=turning, worth=stock.worth)

    area = sum(across * along * count for (across, along), count in pieces.items())
    return plan_with_stock(stock.choice, area, lambda item: _width(item) * _length(item), plan_from)


class _Shape(NamedTuple):
    """Sheets that are cut alike."""

    from_offcuts: bool
    width: int
    length: int
    placements: tuple[Placement, ...]
    remainders: tuple[Area, ...]
    cuts: tuple[SheetCut, ...]
    sku: str


def _sheets(plan: SheetPlan, pieces: list[FlatPiece], stock: _Stock, reusable_from_mm: float) -> tuple[CutSheet, ...]:
    """Numbered sheets: whole ones before offcuts, larger before smaller, then by where their pieces lie; of sheets cut alike
    those for walls earlier in the survey first.
    """
    taken: dict[_Shape, list[Offer]] = defaultdict(list)
    for pattern in plan.patterns:
        offer = stock.choice.offers[pattern.stock]
        size, sku = (_width(offer.item), _length(offer.item)), offer.item.sku or ""
        shape = _Shape(offer.offcut is not None, *size, pattern.placements, pattern.remainders, pattern.cuts, sku)
        taken[shape] += [offer] * pattern.copies
    ordered = sorted(taken, key=_place)
    numbered = [(number, shape) for number, shape in enumerate(ordered, 1) for _ in taken[shape]]
    shares = share_out(pieces, _size, [Counter(_asked(q) for q in shape.placements) for _, shape in numbered])
    order = {piece.id: n for n, piece in enumerate(pieces)}
    placed = [(number, shape, _laid(shape.placements, share)) for (number, shape), share in zip(numbered, shares, strict=True)]
    placed.sort(key=lambda sheet: (sheet[0], [order[q.piece.id] for q in sheet[2]]))
    offers = [offer for shape in ordered for offer in taken[shape]]
    return tuple(
        CutSheet(
            sheet=n, pattern=number, item=offer.item, offcut=offer.offcut, pieces=laid,
            cuts=tuple(_straight(cut) for cut in shape.cuts),
            remainders=tuple(_remainder(rectangle, reusable_from_mm) for rectangle in shape.remainders),
        )
        for n, ((number, shape, laid), offer) in enumerate(zip(placed, offers, strict=True), 1)
    )  # fmt: skip


def _place(shape: _Shape) -> tuple[object, ...]:
    laid = [(q.y, q.x, -q.width, -q.length, q.turned) for q in shape.placements]
    return shape.from_offcuts, -shape.width * shape.length, -shape.length, laid, shape.remainders, shape.sku


def _asked(q: Placement) -> Size:
    return q.width, q.length


def _laid(placements: Sequence[Placement], share: dict[Size, list[FlatPiece]]) -> tuple[PlacedPiece, ...]:
    waiting = {size: iter(pieces) for size, pieces in share.items()}
    return tuple(
        PlacedPiece(piece=next(waiting[_asked(q)]), x_mm=q.x / TENTHS, y_mm=q.y / TENTHS, turned=q.turned) for q in placements
    )


def _straight(cut: SheetCut) -> StraightCut:
    if cut.across:
        x, y, length, direction = cut.x, cut.y + cut.at, cut.width, CutDirection.ACROSS
    else:
        x, y, length, direction = cut.x + cut.at, cut.y, cut.length, CutDirection.ALONG
    return StraightCut(x_mm=x / TENTHS, y_mm=y / TENTHS, direction=direction, length_mm=length / TENTHS)


def _remainder(rectangle: tuple[int, int, int, int], reusable_from_mm: float) -> Remainder:
    x, y, width, length = (tenths / TENTHS for tenths in rectangle)
    return Remainder(x_mm=x, y_mm=y, width_mm=width, length_mm=length, reusable=min(width, length) >= reusable_from_mm)


def _named(piece: FlatPiece) -> str:
    return f"{piece.id} ({piece.width_mm:g} × {piece.length_mm:g} mm)"
