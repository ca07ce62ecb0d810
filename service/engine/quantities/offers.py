"""What pieces can be cut from: the range, of which there may be only so much on hand, and offcuts, one piece of each."""

from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol, TypeVar

from service.engine.inputs import Item
from service.vocabulary import Component


@dataclass(frozen=True, slots=True)
class Offer:
    """One item to cut from. `quantity` None: as many as wanted. `offcut`: its number, where it is one; nothing is paid for it."""

    item: Item
    quantity: int | None = None
    offcut: int | None = None


class CutFrom(Protocol):
    """A pattern of bars or sheets: `copies` of the offer at the place `stock`."""

    @property
    def stock(self) -> int: ...

    @property
    def copies(self) -> int: ...


class CutPlan(Protocol):
    """Of bars or sheets; `unplaced`: what has no room, and how many of it."""

    @property
    def patterns(self) -> Sequence[CutFrom]: ...
    @property
    def unplaced(self) -> Sequence[tuple[object, int]]: ...


Planned = TypeVar("Planned", bound=CutPlan)


def _taken_of(patterns: Iterable[CutFrom]) -> Counter[int]:
    """How many of each offer a plan takes, by its place."""
    taken: Counter[int] = Counter()
    for pattern in patterns:
        taken[pattern.stock] += pattern.copies
    return taken


class Shelf:
    """What there is only so much of. Rooms that share no stock help themselves one after the other, in survey order."""

    def __init__(self, items: Iterable[Item], offcuts: Iterable[tuple[int, Item]]) -> None:
        """`offcuts`: each with its number."""
        self._items: dict[Component, list[Item]] = defaultdict(list)
        for item in dict.fromkeys(items):
            self._items[item.component].append(item)
        self._left = {item: item.on_hand for of in self._items.values() for item in of if item.on_hand is not None}
        self._offcuts: dict[Component, dict[int, Item]] = defaultdict(dict)
        for number, item in offcuts:
            self._offcuts[item.component][number] = item

    def offers(self, component: Component, pieces: int) -> tuple[Offer, ...]:
        """The range, then the offcuts. A stock that gives a bar or sheet to each of so many pieces is as good as endless."""
        bought = (Offer(item, self._limit(item, pieces)) for item in self._items[component])
        return (*bought, *(Offer(item, 1, number) for number, item in self._offcuts[component].items()))

    def take(self, taken: Iterable[Offer]) -> None:
        """One piece of each; of stock on hand no more than there is, the rest being ordered."""
        for offer in taken:
            if offer.offcut is not None:
                del self._offcuts[offer.item.component][offer.offcut]
            elif self._left.get(offer.item):
                self._left[offer.item] -= 1

    def _limit(self, item: Item, pieces: int) -> int | None:
        left = self._left.get(item)
        return left if left is not None and left < pieces else None


@dataclass(frozen=True, slots=True)
class Choice:
    """Offers in the order in which equal ones are taken. `per_minor`: prices are whole numbers of this fraction of a minor unit;
    None where some size has no price, so that price cannot be what is to be least.
    """

    offers: tuple[Offer, ...]
    per_minor: int | None

    @property
    def bought(self) -> tuple[Offer, ...]:
        """Without the offcuts."""
        return tuple(offer for offer in self.offers if offer.offcut is None)

    def suffices(self, taken: Mapping[int, int]) -> bool:
        """Whether so many of each offer are there, by its place in `offers`."""
        return all((limit := self.offers[place].quantity) is None or count <= limit for place, count in taken.items())

    def might_hold(self, amount: int, size: Callable[[Item], int]) -> bool:
        """Whether all that is there comes to as much as is to be cut; where it does not there is no need to try."""
        there = sum(size(offer.item) * (offer.quantity or 0) for offer in self.offers)
        return there >= amount or any(offer.quantity is None for offer in self.offers)

    def endless(self) -> "Choice":
        """As though anything in the range could be had in any number."""
        return Choice(tuple(Offer(o.item, None if o.offcut is None else 1, o.offcut) for o in self.offers), self.per_minor)

    def cost(self, offer: Offer, without_prices: Callable[[Item], int]) -> int:
        if offer.offcut is not None:
            return 0
        price = offer.item.price_minor
        return without_prices(offer.item) if self.per_minor is None or price is None else int(price * self.per_minor)

    def minor(self, cost: int) -> int | Decimal:
        """A sum of prices in minor units."""
        per_minor = self.per_minor or 1
        return cost // per_minor if cost % per_minor == 0 else Decimal(cost) / per_minor


def plan_with_stock(offered: Choice, amount: int, size: Callable[[Item], int], plan_from: Callable[[Choice], Planned]) -> Planned:
    """A plan as though there were enough of everything; where that is more than is on hand, one from what is, if that holds it.

    Args: amount: of all that is to be cut, and size: of an item, in the same unit. plan_from: plans with what it is given.
    """
    plan = plan_from(offered.endless())
    if offered.suffices(_taken_of(plan.patterns)) or not offered.might_hold(amount, size):
        return plan
    from_stock = plan_from(offered)
    return plan if _left_out(from_stock) > _left_out(plan) else from_stock


def _left_out(plan: CutPlan) -> int:
    return sum(count for _, count in plan.unplaced)


def choice(offers: Sequence[Offer], size: Callable[[Item], Hashable]) -> Choice:
    """Smallest first, of one size the cheapest first, then those named first; offcuts last, in their order.

    `size` of an item that nothing can be cut from is None; it is left out. Where every size of the range has a price, so must
    every offer.
    """
    usable = [offer for offer in offers if size(offer.item) is not None]
    offcuts = [offer for offer in usable if offer.offcut is not None]
    bought = sorted((offer for offer in usable if offer.offcut is None), key=lambda offer: (size(offer.item), _price(offer.item)))
    sizes = {size(offer.item) for offer in bought}
    priced = [offer for offer in bought if offer.item.price_minor is not None]
    if not bought or {size(offer.item) for offer in priced} != sizes:
        return Choice((*bought, *offcuts), None)
    decimals = max(_decimals(offer.item.price_minor or 0) for offer in priced)
    return Choice((*priced, *offcuts), 10**decimals)


def _price(item: Item) -> tuple[bool, int | Decimal]:
    return item.price_minor is None, item.price_minor or 0


def _decimals(price: int | Decimal) -> int:
    exponent = Decimal(price).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
