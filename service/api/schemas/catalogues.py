"""Catalogues: the range of things that can be bought, with sizes, packs, prices and stock."""

from functools import partial

from service.api.fields import Between, Int, Length, Num, Str, Word
from service.api.schemas.family import Member, Members, family
from service.api.schemas.money import money_field
from service.vocabulary import Component, Currency

CATALOGUE: Members = {
    "name": Member(make=partial(Str, validate=Length(1, 200)), text="What people call it.", nullable=True, default=None),
    "currency": Member(make=partial(Word, Currency), text="The currency of every price in it.", default="GBP"),
}
Catalogue = family("Catalogue", "A range of things that can be bought", CATALOGUE)

ITEM: Members = {
    "sku": Member(
        make=partial(Str, validate=Length(1, 100)), text="Your article number, unique in the catalogue.", required=True
    ),
    "component": Member(make=partial(Word, Component), text="What it serves as.", required=True),
    "description": Member(make=partial(Str, validate=Length(1, 500)), text="What it is.", nullable=True, default=None),
    "length_mm": Member(
        make=partial(Int, validate=Between(1, 1_000_000)),
        text="Length: a bar's stock length, a sheet's or roll's length.",
        nullable=True,
        default=None,
    ),
    "width_mm": Member(
        make=partial(Int, validate=Between(1, 100_000)), text="Width of a sheet, roll or tape.", nullable=True, default=None
    ),
    "thickness_mm": Member(make=partial(Num, validate=Between(0.01, 1000)), text="Thickness.", nullable=True, default=None),
    "pack_size": Member(make=partial(Int, validate=Between(1, 1_000_000)), text="Pieces in the least that is sold.", default=1),
    "price": Member(
        make=money_field, text="Price of one piece, in the catalogue's currency; null: not known.", nullable=True, default=None
    ),
    "mass_kg": Member(make=partial(Num, validate=Between(0, 100_000)), text="Mass of one piece.", nullable=True, default=None),
    "on_hand": Member(
        make=partial(Int, validate=Between(0, 100_000_000)), text="Pieces in stock; null: not known.", nullable=True, default=None
    ),
    "yield_per_piece": Member(
        make=partial(Num, validate=Between(0.000_001, 1_000_000)),
        text="What one piece covers, in the schedule's unit, where that does not count pieces: metres a tube, m² a bag. "
        "Null: worked out from the specification's tube and coverage, or from the length of a tape or bead.",
        nullable=True,
        default=None,
    ),
}
Item = family("Item", "One thing that can be bought", ITEM, parent="catalogue_id", parent_in_path=True)
