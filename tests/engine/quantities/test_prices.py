"""Money is rounded once an entry, half up; sums add what was rounded."""

from decimal import Decimal

import pytest

from service.engine.inputs import Item
from service.engine.order_results import OrderEntry, ScheduleLine
from service.engine.pricing.prices import half_up, price, sums
from service.vocabulary import Component, UnitCode


def entry(quantity: int, price_minor=None, mass_kg=None) -> OrderEntry:
    item = Item(component=Component.FRAME_SCREW, price_minor=price_minor, mass_kg=mass_kg)
    return OrderEntry(item=item, needed=quantity, packs=quantity, quantity=quantity, unit_price_minor=None, price_minor=None)


def line(*order: OrderEntry, component: Component = Component.FRAME_SCREW, unsupplied: float = 0) -> ScheduleLine:
    return ScheduleLine(
        component=component, description="", unit=UnitCode.PIECE, net_quantity=0, waste_quantity=0, reusable_quantity=0,
        allowance_quantity=0, spare_quantity=0, ordered_quantity=0, unsupplied_quantity=unsupplied, mass_kg=None,
        line_price_minor=None,
        order=order, rooms=(), derivation=(),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "unit", "rounded"),
    [(3, "0.5", 2), (5, "0.5", 3), (7, "0.35", 2), (10, "0.35", 4), (1000, "3.499", 3499), (12, 475, 5700)],
    ids=["1.5 → 2", "2.5 → 3, not 2", "2.45 → 2", "3.50 → 4", "3499 exactly", "whole prices"],
)
def test_an_entry_is_rounded_half_up(quantity, unit, rounded):
    (priced,) = price([line(entry(quantity, Decimal(unit)))])
    assert priced.order[0].price_minor == rounded == priced.line_price_minor


def test_sums_add_rounded_prices():
    # 2.5 + 2.5: each is 3 on the order, so the order comes to 6, not to 5.
    lines = price([line(entry(5, Decimal("0.5")), entry(5, Decimal("0.5")))])
    assert lines[0].line_price_minor == 6
    assert sums(lines).net_price_minor == 6


def test_one_entry_without_a_price_leaves_its_line_and_the_whole_without():
    lines = price([line(entry(5, 100)), line(entry(5, 100), entry(5), component=Component.BRACKET)])
    assert [priced.line_price_minor for priced in lines] == [500, None]
    assert sums(lines).net_price_minor is None
    assert sums(lines).unpriced == (Component.BRACKET,)


def test_a_line_that_cannot_be_supplied_whole_has_no_price():
    lines = price([line(unsupplied=3), line(entry(5, 100), component=Component.BRACKET, unsupplied=2)])
    assert [(priced.line_price_minor, priced.mass_kg) for priced in lines] == [(None, None), (None, None)]
    assert lines[1].order[0].price_minor == 500
    assert sums(lines).unpriced == (Component.FRAME_SCREW, Component.BRACKET)


def test_nothing_costs_nothing():
    assert sums(()).net_price_minor == 0


def test_masses_are_decimal_sums_of_all_that_is_ordered():
    # 3 × 0.1 + 2 × 0.2 = 0.7; in binary fractions 0.1 three times is not 0.3
    lines = price([line(entry(3, mass_kg=0.1), entry(2, mass_kg=0.2))])
    assert lines[0].mass_kg == 0.7
    assert sums(lines).mass_kg == 0.7


def test_what_is_not_weighed_is_named():
    lines = price([line(entry(3, mass_kg=0.1)), line(entry(3), component=Component.BRACKET)])
    assert (sums(lines).mass_kg, sums(lines).unweighed) == (0.3, (Component.BRACKET,))


def test_half_a_penny_goes_up():
    assert [half_up(Decimal(amount)) for amount in ("0.49", "0.5", "1.5", "2.5")] == [0, 1, 2, 3]
