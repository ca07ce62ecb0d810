"""From the flat pieces of a layout to labelled cuts: every piece on one sheet or roll, or in `unplaced` with a finding."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.engine.cutting.sheet_problem import Placement, SheetCut, SheetPattern, SheetPlan, SheetStock
from service.engine.cutting.sheets import plan_sheets
from service.engine.findings import finding, in_order
from service.engine.inputs import Item, Options
from service.engine.quantities.share_out import share_out
from service.engine.results import CutSheet, Finding, FlatCutList, FlatPiece, PlacedPiece, Remainder, StraightCut, WallLayout
from service.vocabulary import COMPONENT_NAMES, ROLL_COMPONENTS, Component, CutDirection, CutStatus, FindingCode, Objective, Pool

TENTHS = 10
SHEET_COST = 100_000
"""Without prices the fewest sheets are sought, then the least area: a sheet costs this and its area in square decimetres."""
TURNED = frozenset({Component.INSULATED_LAMINATE})
"""What may be turned on its sheet: linings are bonded and their cut edges covered. Boards keep their paper edge upright."""

Size = tuple[int, int]
"""Width and length in tenths of a millimetre."""


def cut_flat(
    layouts: Sequence[WallLayout], items: Sequence[Item], options: Options, reusable_from_mm: float
) -> tuple[tuple[FlatCutList, ...], tuple[Finding, ...]]:
    """A cut list for each component of flat pieces, or for each component and room where rooms share no sheets; what has no room.

    Least price is sought where every size of a component has a price, else fewest sheets, then least area. `reusable_from_mm`: a
    remainder at least this long both ways is kept for later.
    """
    pools: dict[tuple[Component, int | None], list[FlatPiece]] = defaultdict(list)
    for layout in layouts:
        for piece in (*layout.boards, *layout.reveals, *layout.insulation, *layout.membrane):
            pools[piece.component, None if options.pool is Pool.PROJECT else piece.room].append(piece)
    cut_lists: list[FlatCutList] = []
    findings: list[Finding] = []
    for component in Component:
        stock = _stock(item for item in items if item.component is component)
        for room in sorted((room for of, room in pools if of is component), key=lambda room: room or 0):
            cut_list = _cut_list(component, room, pools[component, room], stock, reusable_from_mm)
            cut_lists.append(cut_list)
            findings += _unplaced_findings(cut_list.unplaced, stock)
    return tuple(cut_lists), in_order(findings)


@dataclass(frozen=True, slots=True)
class _Stock:
    """One item for each size, and what is to be least; prices are whole numbers of `per_minor`ths of a minor unit."""

    items: tuple[Item, ...]
    objective: Objective
    per_minor: int

    def for_solver(self) -> list[SheetStock]:
        return [SheetStock(_width(item), _length(item), self._cost(item)) for item in self.items]

    def _cost(self, item: Item) -> int:
        if self.objective is Objective.COUNT or item.price_minor is None:
            return SHEET_COST + _area_dm2(item)
        return int(item.price_minor * self.per_minor)

    def used(self, plan: SheetPlan) -> int | Decimal:
        if self.objective is Objective.COUNT:
            return sum(pattern.copies for pattern in plan.patterns)
        return _minor(plan.used, self.per_minor)

    def bound(self, plan: SheetPlan) -> int | Decimal:
        """In sheets: no plan of fewer could cost as much as the bound, were all of the dearest size."""
        if self.objective is Objective.COUNT:
            dearest = max((self._cost(item) for item in self.items), default=1)
            return -(-plan.lower_bound // dearest)
        return _minor(plan.lower_bound, self.per_minor)


def _minor(cost: int, per_minor: int) -> int | Decimal:
    return cost // per_minor if cost % per_minor == 0 else Decimal(cost) / per_minor


def _width(item: Item) -> int:
    return (item.width_mm or 0) * TENTHS


def _length(item: Item) -> int:
    return (item.length_mm or 0) * TENTHS


def _area_dm2(item: Item) -> int:
    return (item.width_mm or 0) * (item.length_mm or 0) // 10_000


def _stock(items: Iterable[Item]) -> _Stock:
    """Of items of equal size the cheapest is taken, then the first."""
    by_size: dict[Size, Item] = {}
    for item in items:
        if item.width_mm is None or item.length_mm is None:
            continue
        known = by_size.setdefault((_width(item), _length(item)), item)
        if item.price_minor is not None and (known.price_minor is None or item.price_minor < known.price_minor):
            by_size[_width(item), _length(item)] = item
    sizes = tuple(by_size[size] for size in sorted(by_size))
    prices = [item.price_minor for item in sizes]
    if not prices or any(price is None for price in prices):
        return _Stock(sizes, Objective.COUNT, 1)
    decimals = max(_decimals(price) for price in prices if price is not None)
    return _Stock(sizes, Objective.PRICE, 10**decimals)


def _decimals(price: int | Decimal) -> int:
    exponent = Decimal(price).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _size(piece: FlatPiece) -> Size:
    return round(piece.width_mm * TENTHS), round(piece.length_mm * TENTHS)


def _cut_list(
    component: Component, room: int | None, pieces: list[FlatPiece], stock: _Stock, reusable_from_mm: float
) -> FlatCutList:
    plan = plan_sheets(Counter(_size(piece) for piece in pieces), stock.for_solver(), turning=component in TURNED)
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


def _sheets(plan: SheetPlan, pieces: list[FlatPiece], stock: _Stock, reusable_from_mm: float) -> tuple[CutSheet, ...]:
    """Numbered sheets: the pattern cut most often first, then larger sheets; equal ones in survey order."""

    def place(pattern: SheetPattern) -> tuple[int, int, list[tuple[int, int, int, int]]]:
        laid = [(q.y, q.x, -q.width, -q.length) for q in pattern.placements]
        return -pattern.copies, -_area_dm2(stock.items[pattern.stock]), laid

    patterns = sorted(plan.patterns, key=place)
    numbered = [(number, pattern) for number, pattern in enumerate(patterns, 1) for _ in range(pattern.copies)]
    shares = share_out(pieces, _size, [Counter(_asked(q) for q in pattern.placements) for _, pattern in numbered])
    order = {piece.id: n for n, piece in enumerate(pieces)}
    placed = [(number, pattern, _laid(pattern, share)) for (number, pattern), share in zip(numbered, shares, strict=True)]
    placed.sort(key=lambda sheet: (sheet[0], [order[q.piece.id] for q in sheet[2]]))
    return tuple(
        CutSheet(
            sheet=n, pattern=number, item=stock.items[pattern.stock], pieces=laid,
            cuts=tuple(_straight(cut) for cut in pattern.cuts),
            remainders=tuple(_remainder(rectangle, reusable_from_mm) for rectangle in pattern.remainders),
        )
        for n, (number, pattern, laid) in enumerate(placed, 1)
    )  # fmt: skip


def _asked(q: Placement) -> Size:
    return q.width, q.length


def _laid(pattern: SheetPattern, share: dict[Size, list[FlatPiece]]) -> tuple[PlacedPiece, ...]:
    waiting = {size: iter(pieces) for size, pieces in share.items()}
    return tuple(
        PlacedPiece(piece=next(waiting[_asked(q)]), x_mm=q.x / TENTHS, y_mm=q.y / TENTHS, turned=q.turned)
        for q in pattern.placements
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


def _unplaced_findings(unplaced: Sequence[FlatPiece], stock: _Stock) -> list[Finding]:
    """One for each wall and component."""
    by_wall: dict[tuple[int, int], list[FlatPiece]] = defaultdict(list)
    for piece in unplaced:
        by_wall[piece.room, piece.wall].append(piece)
    sizes = ", ".join(f"{item.width_mm} × {item.length_mm}" for item in stock.items)
    offered = f"the range holds {sizes} mm" if sizes else "the range holds none at all"
    findings = []
    for (room, wall), pieces in by_wall.items():
        component = pieces[0].component
        which = ", ".join(f"{piece.id} ({piece.width_mm:g} × {piece.length_mm:g} mm)" for piece in pieces)
        message = f"{COMPONENT_NAMES[component]}: nothing is large enough for {which}; {offered}."
        findings.append(finding(FindingCode.NO_STOCK_LONG_ENOUGH, message, room, wall, component=component))
    return findings
