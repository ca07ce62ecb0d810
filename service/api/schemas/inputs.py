"""What a takeoff's answer depended on, as it was used: survey, parameters, items, options, every default filled in."""

from functools import partial

from service.api.fields import Flag, Id, Int, ListOf, Num, Part, Str
from service.api.schemas.build_ups import AirRead, LayerBridgeRead
from service.api.schemas.family import Answer, Members, answered, sometimes
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


class BuildUpLayerUsed(Answer):
    """A layer as it was used; of the wall's own entry only `wall`, and its material where the entry named one."""

    wall = sometimes(Flag, "Here goes the wall.")
    name = sometimes(Str, "What it is.")
    thickness_mm = sometimes(Num, "Thickness.")
    conductivity_w_mk = sometimes(Num, "Conductivity, W/(m·K).", allow_none=True)
    resistance_m2k_w = sometimes(Num, "Resistance away from its bridge, m²·K/W.")
    bridge = sometimes(partial(Part, LayerBridgeRead), "What bridges it.", allow_none=True)
    mu = sometimes(Num, "Diffusion resistance factor.", allow_none=True)
    sd_m = sometimes(Num, "Diffusion-equivalent air layer thickness.", allow_none=True)
    source = sometimes(Str, "Where its numbers come from.")
    existing = sometimes(Flag, "Whether it is there before the work.")
    membrane = sometimes(Flag, "Whether it is the vapour control layer; null: found by rule.", allow_none=True)
    insulation = sometimes(Flag, "Whether it is the layer to thicken; null: found by rule.", allow_none=True)


class ClimateUsed(Answer):
    """Twelve months of air as they were used, January first."""

    outside = answered(partial(ListOf, Part(AirRead)), "Outside.")
    inside = answered(partial(ListOf, Part(AirRead)), "Inside, a humidity class worked out.")


class InputsUsed(Answer):
    """All that the answer depended on."""

    engine_version = answered(Str, "The engine that made it.")
    survey = answered(partial(Part, SurveyUsed), "The survey.")
    parameters = answered(partial(Part, ParametersUsed), "Every setting-out parameter.")
    components = answered(partial(Part, RoleComponentsRead), "What each role was cut from.")
    items = answered(partial(ListOf, Part(ItemUsed)), "What was on offer.")
    offcuts = answered(partial(ListOf, Part(OffcutUsed)), "Offcuts that were on offer beside them.")
    build_up = answered(
        partial(ListOf, Part(BuildUpLayerUsed)), "The build-up; null: what the parameters describe.", allow_none=True
    )
    target_u_value_w_m2k = answered(Num, "The target, W/(m²·K).", allow_none=True)
    critical_temperature_factor = answered(Num, "The critical temperature factor.", allow_none=True)
    climate = answered(partial(Part, ClimateUsed), "The climate; null: moisture was not followed.", allow_none=True)
    humidity_class = answered(Int, "The class that its inside air comes from.", allow_none=True)
    year_built = answered(Int, "When the house was built.", allow_none=True)
    options = answered(partial(Part, OptionsUsed), "How it was made.")
