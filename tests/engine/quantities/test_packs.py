"""Packs: never fewer pieces than needed, and no dearer than any other way to buy them."""

from decimal import Decimal
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from service.engine.inputs import Item
from service.engine.quantities.packs import choose_packs
from service.vocabulary import Component


def screws(pack_size: int, price_minor=None, length_mm: int = 25) -> Item:
    return Item(component=Component.FRAME_SCREW, pack_size=pack_size, price_minor=price_minor, length_mm=length_mm)


def chosen(pieces: int, *items: Item) -> list[tuple[int, int]]:
    return [(item.pack_size, packs) for item, packs in choose_packs(pieces, items)]


def test_one_pack_size_is_rounded_up():
    assert chosen(100, screws(50)) == [(50, 2)]
    assert chosen(101, screws(50)) == [(50, 3)]


def test_nothing_needed_is_nothing_ordered():
    assert chosen(0, screws(50)) == []
    assert chosen(10) == []


def test_packs_are_mixed_where_that_is_cheapest():
    # 1340 at 4p in thousands (40.00 a pack), at 5p in two hundreds (10.00 a pack): 2 × 40 = 80, 7 × 10 = 70, 40 + 2 × 10 = 60.
    assert chosen(1340, screws(1000, 4), screws(200, 5)) == [(1000, 1), (200, 2)]


def test_without_a_price_the_fewest_pieces_then_the_fewest_packs():
    # 7 × 200 and 1000 + 2 × 200 are both 1400 pieces.
    assert chosen(1340, screws(1000), screws(200, 5)) == [(1000, 1), (200, 2)]
    assert chosen(990, screws(1000), screws(200)) == [(1000, 1)]


def test_sizes_are_not_mixed():
    # 25 long: 2 packs of 100 at 1p, 2.00. 35 long: 3 packs of 50 at 1p, 1.50.
    assert chosen(150, screws(100, 1), screws(50, 1, length_mm=35)) == [(50, 3)]


def test_a_piece_may_cost_a_fraction_of_a_penny():
    # 1000 at 3.5p are 35.00, five packs of 200 at 3.6p are 36.00.
    assert chosen(1000, screws(1000, Decimal("3.5")), screws(200, Decimal("3.6"))) == [(1000, 1)]


PACKS = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 9)), min_size=1, max_size=3)


@given(PACKS, st.integers(1, 40))
def test_no_other_choice_of_packs_costs_less(packs, pieces):
    fill = choose_packs(pieces, [screws(size, price) for size, price in packs])
    cost = sum(item.price_minor * item.pack_size * n for item, n in fill)
    held = sum(item.pack_size * n for item, n in fill)
    assert held >= pieces
    every = [
        (sum(n * size * price for n, (size, price) in zip(counts, packs, strict=True)),
         sum(n * size for n, (size, _) in zip(counts, packs, strict=True)))
        for counts in product(*(range(-(-pieces // size) + 1) for size, _ in packs))
    ]  # fmt: skip
    assert (cost, held) == min(choice for choice in every if choice[1] >= pieces)
