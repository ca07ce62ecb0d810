"""What a takeoff's answer depended on, as it was used: survey, parameters, items, options, every default filled in."""

from functools import partial

from service.api.fields import Id, Int, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, Members, answered
from service.api.schemas.money import Money
from service.api.schemas.specifications import PARAMETERS, RoleComponentsRead
from service.api.schemas.survey import FEATURE, OPENING, ROOM, WALL, read_node
from service.api.schemas.takeoffs import OptionsUsed


def _measured(members: Members, *left_out: str) -> Members:
    """Without what no answer depends on: names, and positions that only sort."""
    return {name: member for name, member in members.items() if name not in ("name", "position", *left_out)}


FeatureUsed = read_node("FeatureUsed", "A feature as it was used.", _measured(FEATURE))
OpeningUsed = read_node("OpeningUsed", "An opening as it was used.", _measured(OPENING))
WallUsed = read_node("WallUsed", "A wall as it was used.", _measured(WALL), openings=OpeningUsed, features=FeatureUsed)
RoomUsed = read_node("RoomUsed", "A room as it was used.", _measured(ROOM, "storey", "ceiling_height_mm"), walls=WallUsed)


class SurveyUsed(Answer):
    """The survey as it was used."""

    rooms = answered(partial(ListOf, Part(RoomUsed)), "Its rooms, in order.")


ParametersUsed = type(
    "ParametersUsed",
    (Answer,),
    {"__doc__": "Every parameter as it was used.", **{name: member.in_answer() for name, member in PARAMETERS.items()}},
)


class ItemUsed(Answer):
    """An item that was on offer."""

    component = answered(Str, "What it serves as.")
    sku = answered(Str, "Article number.", allow_none=True)
    description = answered(Str, "What it is.", allow_none=True)
    length_mm = answered(Int, "Length.", allow_none=True)
    width_mm = answered(Int, "Width.", allow_none=True)
    thickness_mm = answered(Num, "Thickness.", allow_none=True)
    pack_size = answered(Int, "Pieces in a pack.")
    price = answered(partial(Part, Money), "Price of one piece.", allow_none=True)
    mass_kg = answered(Num, "Mass of one piece.", allow_none=True)
    on_hand = answered(Int, "Pieces in stock.", allow_none=True)
    yield_per_piece = answered(Num, "What one piece covers.", allow_none=True)


class OffcutUsed(Answer):
    """An offcut that was on offer, as it was then."""

    id = answered(Id, "Its id.")
    component = answered(Str, "What it is of.")
    sku = answered(Str, "Article number.", allow_none=True)
    length_mm = answered(Int, "Length.")
    width_mm = answered(Int, "Width; null: a bar.", allow_none=True)
    thickness_mm = answered(Num, "Thickness.", allow_none=True)


class InputsUsed(Answer):
    """All that the answer depended on."""

    engine_version = answered(Str, "The engine that made it.")
    survey = answered(partial(Part, SurveyUsed), "The survey.")
    parameters = answered(partial(Part, ParametersUsed), "Every setting-out parameter.")
    components = answered(partial(Part, RoleComponentsRead), "What each role was cut from.")
    items = answered(partial(ListOf, Part(ItemUsed)), "What was on offer.")
    offcuts = answered(partial(ListOf, Part(OffcutUsed)), "Offcuts that were on offer beside them.")
    options = answered(partial(Part, OptionsUsed), "How it was made.")
