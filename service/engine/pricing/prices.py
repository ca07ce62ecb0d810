"""Prices and masses of what is ordered. Whole minor units and decimals only; no binary fraction touches money."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from service.engine.order_results import OrderEntry, ScheduleLine
from service.vocabulary import Component


@dataclass(frozen=True, slots=True)
class Sums:
    """`net_price_minor` is None while a line lacks a price; `unpriced` says which. `mass_kg` leaves out `unweighed`."""

    net_price_minor: int | None
    unpriced: tuple[Component, ...]
    mass_kg: float
    unweighed: tuple[Component, ...]


def price(lines: Iterable[ScheduleLine]) -> tuple[ScheduleLine, ...]:
    """The lines with the price of each order entry, rounded once, half up, and the sums of rounded prices; and with masses.

    A line of which the range cannot supply all has no price: what it lacks would be missing from the sum. Masses are those of all
    that is ordered, to the gram: 0 where all comes from offcuts; a line that nothing in the range can supply has none.
    """
    return tuple(_priced(line) for line in lines)


def sums(lines: Sequence[ScheduleLine]) -> Sums:
    """Totals of priced lines."""
    prices = [line.line_price_minor for line in lines if line.line_price_minor is not None]
    return Sums(
        net_price_minor=sum(prices) if len(prices) == len(lines) else None,
        unpriced=tuple(line.component for line in lines if line.line_price_minor is None),
        mass_kg=float(sum((Decimal(str(line.mass_kg)) for line in lines if line.mass_kg is not None), Decimal(0))),
        unweighed=tuple(line.component for line in lines if line.mass_kg is None),
    )


def _priced(line: ScheduleLine) -> ScheduleLine:
    order = tuple(_priced_entry(entry) for entry in line.order)
    prices = [entry.price_minor for entry in order if entry.price_minor is not None]
    weighed = [Decimal(str(entry.item.mass_kg)) * entry.quantity for entry in order if entry.item.mass_kg is not None]
    return replace(
        line,
        order=order,
        line_price_minor=sum(prices) if len(prices) == len(order) and not line.unsupplied_quantity else None,
        mass_kg=_kg(sum(weighed, Decimal(0))) if (order or line.from_offcuts_quantity) and len(weighed) == len(order) else None,
    )


def _priced_entry(entry: OrderEntry) -> OrderEntry:
    unit = entry.item.price_minor
    return replace(entry, unit_price_minor=unit, price_minor=None if unit is None else half_up(entry.quantity * unit))


def _kg(mass: Decimal) -> float:
    """To the gram."""
    return float(mass.quantize(Decimal("0.001"), ROUND_HALF_UP))


def half_up(amount: int | Decimal) -> int:
    """Whole minor units; a half goes up."""
    return int(Decimal(amount).to_integral_value(ROUND_HALF_UP))
