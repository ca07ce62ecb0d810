"""The bars a component can be cut from, in the terms of the cutting solver: whole mm and whole units of cost."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.engine.cutting.problem import Certificate, Stock
from service.engine.inputs import Item, Sheet
from service.engine.lining import Materials
from service.engine.parameters import Parameters
from service.engine.quantities.offers import Choice, Offer, choice
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
    """What a component's bars can be cut from, and what is to be least: cost is counted in mm where length is the objective."""

    choice: Choice

    @property
    def objective(self) -> Objective:
        return Objective.LENGTH if self.choice.per_minor is None else Objective.PRICE

    @property
    def longest_mm(self) -> int:
        """Of the range; 0 where it holds none."""
        return max((_length(offer.item) for offer in self.choice.bought), default=0)

    def for_solver(self) -> list[Stock]:
        return [Stock(_length(o.item), self.choice.cost(o, _length), o.quantity) for o in self.choice.offers]

    def amount(self, cost: int) -> int | Decimal:
        """A cost of the solver in mm of stock or in minor units."""
        return self.choice.minor(cost)

    def proof(self, certificate: Certificate | None) -> Mapping[str, object] | None:
        """The same proof in mm of stock or minor units: a piece's worth is `value / scale` of them."""
        if certificate is None:
            return None
        return {
            "values": [{"length_mm": length, "value": value} for length, value in certificate.values],
            "scale": certificate.scale * (self.choice.per_minor or 1),
            "proves": self.amount(certificate.proves),
        }


def _length(item: Item) -> int:
    return item.length_mm or 0


def bar_stock(offers: Sequence[Offer]) -> BarStock:
    """Shortest first, of one length the cheapest first, then the first. Price is the objective where every length has one."""
    return BarStock(choice(offers, lambda item: item.length_mm if item.length_mm and item.length_mm > 0 else None))
