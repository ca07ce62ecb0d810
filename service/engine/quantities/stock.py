"""The bars a component can be cut from, in the terms of the cutting solver: whole mm and whole units of cost."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.engine.cutting.problem import Certificate, Stock
from service.engine.inputs import Item, Sheet
from service.engine.lining import Materials
from service.engine.parameters import Parameters
from service.vocabulary import Component, Objective


def stock_lengths_mm(items: Iterable[Item]) -> dict[Component, tuple[int, ...]]:
    """The lengths in which each component can be bought, shortest first."""
    lengths: dict[Component, set[int]] = defaultdict(set)
    for item in items:
        if item.length_mm is not None:
            lengths[item.component].add(item.length_mm)
    return {component: tuple(sorted(lengths[component])) for component in sorted(lengths)}


def fitting(items: Iterable[Item], p: Parameters) -> list[Item]:
    """The items that the build-up can use: boards, laminate and insulation of its thickness, or of none stated."""
    wanted = {
        Component.PLASTERBOARD: p.board_thickness_mm,
        Component.INSULATED_LAMINATE: p.reveal_board_thickness_mm,
        Component.INSULATION_ROLL: p.insulation_thickness_mm,
    }
    return [
        item for item in items if item.thickness_mm is None or item.thickness_mm == wanted.get(item.component, item.thickness_mm)
    ]


def materials(items: Iterable[Item]) -> Materials:
    """What the stages need to know of these items; where none is flat, usual sizes stand in, so that layouts can be made."""
    items = list(items)
    return Materials(
        stock_lengths=stock_lengths_mm(items),
        board=_largest(items, Component.PLASTERBOARD, Sheet(1200, 2400)),
        laminate=_largest(items, Component.INSULATED_LAMINATE, Sheet(1200, 2400)),
        insulation=_largest(items, Component.INSULATION_ROLL, Sheet(1200, 8000)),
        membrane=_largest(items, Component.VCL_MEMBRANE, Sheet(1500, 50000)),
    )


def _largest(items: Iterable[Item], component: Component, usual: Sheet) -> Sheet:
    """Of the widest the longest."""
    sizes = [(i.width_mm, i.length_mm) for i in items if i.component is component and i.width_mm and i.length_mm]
    return Sheet(*max(sizes)) if sizes else usual


@dataclass(frozen=True, slots=True)
class BarStock:
    """One item for each length, shortest first, and what is to be least.

    `units_per_minor`: cost is counted in this fraction of a minor unit (a power of ten), so that every price is a whole number;
    1 where length is the objective and cost is counted in mm.
    """

    bars: tuple[tuple[int, Item], ...]
    objective: Objective
    units_per_minor: int

    def for_solver(self) -> list[Stock]:
        return [Stock(length_mm, self._cost(length_mm, item)) for length_mm, item in self.bars]

    def amount(self, cost: int) -> int | Decimal:
        """A cost of the solver in mm of stock or in minor units."""
        return cost // self.units_per_minor if cost % self.units_per_minor == 0 else Decimal(cost) / self.units_per_minor

    def proof(self, certificate: Certificate | None) -> Mapping[str, object] | None:
        """The same proof in mm of stock or minor units: a piece's worth is `value / scale` of them."""
        if certificate is None:
            return None
        return {
            "values": [{"length_mm": length, "value": value} for length, value in certificate.values],
            "scale": certificate.scale * self.units_per_minor,
            "proves": self.amount(certificate.proves),
        }

    def _cost(self, length_mm: int, item: Item) -> int:
        if self.objective is Objective.LENGTH or item.price_minor is None:
            return length_mm
        return int(item.price_minor * self.units_per_minor)


def bar_stock(items: Iterable[Item]) -> BarStock:
    """Of items of equal length the cheapest is taken, then the first. Price is the objective where every length has one."""
    by_length: dict[int, Item] = {}
    for item in items:
        if item.length_mm is not None:
            kept = by_length.setdefault(item.length_mm, item)
            if item.price_minor is not None and (kept.price_minor is None or item.price_minor < kept.price_minor):
                by_length[item.length_mm] = item
    prices = [item.price_minor for item in by_length.values() if item.price_minor is not None]
    priced = bool(by_length) and len(prices) == len(by_length)
    return BarStock(
        bars=tuple(sorted(by_length.items())),
        objective=Objective.PRICE if priced else Objective.LENGTH,
        units_per_minor=10 ** max(_decimals(price) for price in prices) if priced else 1,
    )


def _decimals(price: int | Decimal) -> int:
    exponent = Decimal(price).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
