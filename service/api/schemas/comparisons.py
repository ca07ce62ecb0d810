"""Two takeoffs beside each other."""

from functools import partial

import marshmallow as ma

from service.api.fields import Flag, Id, Int, ListOf, Num, Part, Str, Time, Word
from service.api.schemas.family import Answer, answered
from service.api.schemas.money import Money
from service.api.schemas.takeoffs import TakeoffInputs
from service.vocabulary import ComparedGroup, FeatureKind, OpeningKind


def _scalar(text: str) -> ma.fields.Raw:
    kinds = ["number", "string", "boolean", "null"]
    return ma.fields.Raw(required=True, dump_only=True, metadata={"description": text, "type": kinds})


class NumberPair(Answer):
    """A figure on both sides; 0 where a side has nothing of it."""

    before = answered(Num, "In the first takeoff; null: not known.", allow_none=True)
    after = answered(Num, "In the second takeoff; null: not known.", allow_none=True)
    difference = answered(Num, "After less before; null where one of them is not known.", allow_none=True)


class MoneyPair(Answer):
    """An amount of money on both sides; 0.00 where a side has nothing of it."""

    before = answered(partial(Part, Money), "In the first takeoff; null: not known.", allow_none=True)
    after = answered(partial(Part, Money), "In the second takeoff; null: not known.", allow_none=True)
    text = "After less before; null where one of them is not known, or they are of two currencies."
    difference = answered(partial(Part, Money), text, allow_none=True)


_numbers = partial(Part, NumberPair)
_amounts = partial(Part, MoneyPair)


class ComparedTakeoff(Answer):
    """One side of a comparison."""

    takeoff_id = answered(Id, "The takeoff.")
    digest = answered(Str, "Its digest.")
    engine_version = answered(Str, "The engine that made it.")
    created_at = answered(Time, "When it was made, RFC 3339 in UTC.")
    inputs = answered(partial(Part, TakeoffInputs), "What was used.")


class ComparedTotals(Answer):
    """The wholes, whether they differ or not."""

    rooms = answered(_numbers, "Rooms in the survey.")
    lined_area_m2 = answered(_numbers, "Area lined, openings taken off.")
    floor_area_lost_m2 = answered(_numbers, "Floor that the lining takes up.")
    mass_kg = answered(_numbers, "Mass of what is ordered, as far as items say theirs.")
    net_price = answered(_amounts, "What the order costs without tax.")


class ChangedMember(Answer):
    """One member that differs."""

    member = answered(Str, "Its name.")
    before = _scalar("Its value in the first takeoff; null also where it had none.")
    after = _scalar("Its value in the second takeoff; null also where it has none.")


class ChangedSetting(ChangedMember):
    """One parameter, component of a role, option or allowance that differs."""

    group = answered(partial(Word, ComparedGroup), "What it is one of.")


class ComparedOrder(Answer):
    """One thing that is ordered in other numbers or at another price. It is known by its article number and sizes."""

    sku = answered(Str, "Article number; null in the built-in range.", allow_none=True)
    stock_length_mm = answered(Int, "Length of a bar.", allow_none=True)
    length_mm = answered(Int, "Length.", allow_none=True)
    width_mm = answered(Int, "Width.", allow_none=True)
    needed = answered(_numbers, "Pieces that the layout uses.")
    allowance = answered(_numbers, "Pieces added by an allowance.")
    packs = answered(_numbers, "Packs to order.")
    quantity = answered(_numbers, "Pieces in those packs.")
    unit_price = answered(_amounts, "Price of one piece.")
    price = answered(_amounts, "Price of the quantity.")


class ComparedLine(Answer):
    """One component of which something differs."""

    component = answered(Str, "The component.")
    description = answered(Str, "Its name.")
    unit = answered(Str, "Readable unit of every quantity in this line.")
    unit_code = answered(Str, "The same as a UN/ECE Recommendation 20 code.")
    net_quantity = answered(_numbers, "What the layout uses.")
    unsupplied_quantity = answered(_numbers, "The part of the net quantity that nothing in the range can supply.")
    waste_quantity = answered(_numbers, "What cutting adds.")
    reusable_quantity = answered(_numbers, "Remainders worth keeping.")
    allowance_quantity = answered(_numbers, "Added because an allowance says so.")
    spare_quantity = answered(_numbers, "What whole packs add.")
    ordered_quantity = answered(_numbers, "All that is ordered.")
    from_offcuts_quantity = answered(_numbers, "Offcuts that are cut up.")
    mass_kg = answered(_numbers, "Mass of what is ordered.")
    line_price = answered(_amounts, "Price of the line.")
    order = answered(partial(ListOf, Part(ComparedOrder)), "What of its order differs.")


class OrderChange(Answer):
    """Pieces that one takeoff orders and the other does not."""

    component = answered(Str, "The component.")
    sku = answered(Str, "Article number; null in the built-in range.", allow_none=True)
    stock_length_mm = answered(Int, "Length of a bar.", allow_none=True)
    length_mm = answered(Int, "Length.", allow_none=True)
    width_mm = answered(Int, "Width.", allow_none=True)
    quantity = answered(Int, "How many pieces.")
    price = answered(partial(Part, Money), "What they make of a difference in price; null: not known.", allow_none=True)


class ComparedQuantity(NumberPair):
    """What one wall needs of a component, net."""

    component = answered(Str, "The component.")
    unit = answered(Str, "Readable unit.")
    unit_code = answered(Str, "The same as a UN/ECE Recommendation 20 code.")


class WallOnOneSide(Answer):
    """A wall that only one of the two takeoffs has."""

    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "The wall.")
    quantities = answered(partial(ListOf, Part(ComparedQuantity)), "What it needs.")


class OpeningOnOneSide(Answer):
    """An opening that only one of the two takeoffs has."""

    opening_id = answered(Id, "The opening.")
    kind = answered(partial(Word, OpeningKind), "What it is.")


class ChangedOpening(Answer):
    """An opening that was measured anew."""

    opening_id = answered(Id, "The opening.")
    members = answered(partial(ListOf, Part(ChangedMember)), "What of it differs.")


class ComparedOpenings(Answer):
    """The openings of a wall."""

    added = answered(partial(ListOf, Part(OpeningOnOneSide)), "Only in the second takeoff.")
    removed = answered(partial(ListOf, Part(OpeningOnOneSide)), "Only in the first takeoff.")
    changed = answered(partial(ListOf, Part(ChangedOpening)), "In both, and not the same.")


class FeatureOnOneSide(Answer):
    """A feature that only one of the two takeoffs has."""

    feature_id = answered(Id, "The feature.")
    kind = answered(partial(Word, FeatureKind), "What it is.")


class ChangedFeature(Answer):
    """A feature that was measured anew."""

    feature_id = answered(Id, "The feature.")
    members = answered(partial(ListOf, Part(ChangedMember)), "What of it differs.")


class ComparedFeatures(Answer):
    """The features of a wall."""

    added = answered(partial(ListOf, Part(FeatureOnOneSide)), "Only in the second takeoff.")
    removed = answered(partial(ListOf, Part(FeatureOnOneSide)), "Only in the first takeoff.")
    changed = answered(partial(ListOf, Part(ChangedFeature)), "In both, and not the same.")


class ChangedWall(Answer):
    """A wall that was measured anew, or whose material differs because a neighbour or a setting does."""

    room_id = answered(Id, "Its room, in the second takeoff.")
    wall_id = answered(Id, "The wall, in the second takeoff.")
    members = answered(
        partial(ListOf, Part(ChangedMember)), "Its own members that differ, and its room's, whose names begin with `room_`."
    )
    openings = answered(partial(Part, ComparedOpenings), "What of its openings differs.")
    features = answered(partial(Part, ComparedFeatures), "What of its features differs.")
    quantities = answered(partial(ListOf, Part(ComparedQuantity)), "What it needs more or less of, net.")


class ComparedWalls(Answer):
    """Walls, in survey order."""

    added = answered(partial(ListOf, Part(WallOnOneSide)), "Only in the second takeoff.")
    removed = answered(partial(ListOf, Part(WallOnOneSide)), "Only in the first takeoff.")
    changed = answered(partial(ListOf, Part(ChangedWall)), "In both, and not the same.")


class Comparison(Answer):
    """Two takeoffs beside each other: totals, and of all else only what differs. `before` is the first in the path."""

    equal = answered(Flag, "Whether the digests are equal; then nothing differs.")
    before = answered(partial(Part, ComparedTakeoff), "The first takeoff.")
    after = answered(partial(Part, ComparedTakeoff), "The second takeoff.")
    totals = answered(partial(Part, ComparedTotals), "The wholes.")
    settings = answered(partial(ListOf, Part(ChangedSetting)), "Parameters and options that differ.")
    lines = answered(partial(ListOf, Part(ComparedLine)), "Schedule lines of which something differs.")
    adds = answered(partial(ListOf, Part(OrderChange)), "What the second takeoff orders more of.")
    saves = answered(partial(ListOf, Part(OrderChange)), "What the second takeoff orders less of.")
    walls = answered(partial(Part, ComparedWalls), "Walls that differ.")
