"""The material schedule: one line a component, with what to order and where each figure comes from."""

from functools import partial

from service.api.fields import Id, Int, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, answered, sometimes
from service.api.schemas.money import Money


class OrderLine(Answer):
    """One thing to order."""

    sku = answered(Str, "Article number; null in the built-in range.", allow_none=True)
    description = sometimes(Str, "What it is.", allow_none=True)
    stock_length_mm = sometimes(Int, "Length of a bar.", allow_none=True)
    length_mm = sometimes(Int, "Length of a sheet or roll.", allow_none=True)
    width_mm = sometimes(Int, "Width of a sheet or roll.", allow_none=True)
    needed = answered(Int, "Pieces that the layout uses.")
    allowance = sometimes(Int, "Pieces added by an allowance.")
    pack_size = answered(Int, "Pieces in a pack.")
    packs = answered(Int, "Packs to order.")
    quantity = answered(Int, "Pieces in those packs.")
    unit_price = answered(partial(Part, Money), "Price of one piece; null: not known.", allow_none=True)
    price = answered(partial(Part, Money), "Price of the quantity, rounded once, half up; null: not known.", allow_none=True)


class RoomShare(Answer):
    """One room's part of a net quantity."""

    room_id = answered(Id, "The room.")
    net_quantity = answered(Num, "Its part, in the line's unit.")


class Derivation(Answer):
    """Where part of a quantity comes from."""

    rules = answered(partial(ListOf, Str()), "The setting-out rules it follows from.")
    role = answered(Str, "What the pieces do in the wall.")
    terms = answered(Str, "The arithmetic, for a person to follow.")
    count = answered(Int, "How many.")
    quantity = answered(Num, "Their part of the net quantity, in the line's unit.")
    length_mm = answered(Int, "How long each; null where that does not apply.", allow_none=True)
    room_id = sometimes(Id, "The room.")
    wall_id = answered(Id, "The wall.")
    members = answered(partial(ListOf, Str()), "Ids of the members it covers.")


class ScheduleLine(Answer):
    """One component. Net, waste, reusable and allowance are apart: never one figure that hides the others."""

    component = answered(Str, "The component.")
    description = answered(Str, "Its name.")
    unit = answered(Str, "Readable unit of every quantity in this line.")
    unit_code = answered(Str, "The same as a UN/ECE Recommendation 20 code.")
    net_quantity = answered(Num, "What the layout uses.")
    waste_quantity = answered(Num, "What cutting adds.")
    reusable_quantity = answered(Num, "Remainders worth keeping, of offcuts too.")
    allowance_quantity = answered(Num, "Added because an allowance says so.")
    spare_quantity = sometimes(Num, "What whole packs add.")
    ordered_quantity = sometimes(Num, "All that is ordered.")
    from_offcuts_quantity = sometimes(Num, "Offcuts that are cut up: with what is ordered, all that the other figures add up to.")
    unsupplied_quantity = sometimes(Num, "The part of the net quantity that nothing in the range can supply.")
    mass_kg = answered(Num, "Mass of what is ordered; null: not known.", allow_none=True)
    line_price = answered(partial(Part, Money), "Price of the line; null while an entry lacks a price.", allow_none=True)
    order = answered(partial(ListOf, Part(OrderLine)), "What to order.")
    rooms = answered(partial(ListOf, Part(RoomShare)), "The net quantity room by room.")
    derivation = answered(partial(ListOf, Part(Derivation)), "Where the net quantity comes from.")


class Schedule(Answer):
    """The material schedule of a takeoff."""

    lines = answered(partial(ListOf, Part(ScheduleLine)), "One line a component.")
