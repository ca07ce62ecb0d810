"""A takeoff's whole input around a random case: the items offered and the options, invented like the rooms."""

from dataclasses import replace

from rooms.dice import Dice, chance, one_of, weighted
from rooms.surveys import Case
from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Options, TakeoffInput
from service.vocabulary import Component, Currency, Pool

BARS = {Component.C_STUD, Component.U_CHANNEL}


def takeoff_input(case: Case) -> TakeoffInput:
    """The built-in range with this case's bars in place of its own, unpriced."""
    bars = [
        Item(component=component, length_mm=length, mass_kg=length / 2000)
        for component, lengths in ((Component.C_STUD, case.stud_stock_mm), (Component.U_CHANNEL, case.channel_stock_mm))
        for length in lengths
    ]
    others = [item for item in BUILTIN_RANGE if item.component not in BARS]
    return TakeoffInput(
        rooms=case.rooms, parameters=case.parameters, items=(*bars, *others), options=Options(kerf_mm=case.kerf_mm)
    )


def supplied(dice: Dice, case: Case) -> TakeoffInput:
    """The same with prices, packs, stock on hand, allowances, offcuts; now and then a component that cannot be bought at all."""
    plain = takeoff_input(case)
    items: list[Item] = list(plain.items)
    currency = None
    if chance(dice, 60):
        currency = Currency.GBP
        items = [replace(item, price_minor=dice.whole(1, 40) + (item.length_mm or 100) // 7) for item in items]
    if chance(dice, 30):
        items = [replace(item, pack_size=one_of(dice, (1, 10))) if item.component in BARS else item for item in items]
    if chance(dice, 40):
        items = [replace(item, on_hand=dice.whole(0, 12)) for item in items]
    if chance(dice, 10):
        gone = weighted(dice, [(2, Component.U_CHANNEL), (1, Component.C_STUD), (1, Component.BRACKET)])
        items = [item for item in items if item.component is not gone]
    allowances: dict[Component, float] = {}
    if chance(dice, 30):
        allowances = {Component.C_STUD: one_of(dice, (5.0, 2.5)), Component.FRAME_SCREW: 10.0}
    pool = one_of(dice, (Pool.PROJECT, Pool.ROOM))
    options = Options(pool=pool, kerf_mm=case.kerf_mm, allowances=allowances)
    offcuts = tuple(_offcut(dice) for _ in range(dice.whole(1, 5))) if chance(dice, 25) else ()
    return replace(plain, items=tuple(items), offcuts=offcuts, currency=currency, options=options)


def _offcut(dice: Dice) -> Item:
    """A bar or a sheet; some are too short for anything, some as long as new stock."""
    component = one_of(dice, (Component.C_STUD, Component.U_CHANNEL, Component.PLASTERBOARD, Component.INSULATION_ROLL))
    width = None if component in BARS else 100 * dice.whole(3, 12)
    return Item(component=component, length_mm=100 * dice.whole(3, 36), width_mm=width)
