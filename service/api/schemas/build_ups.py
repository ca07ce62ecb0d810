"""Build-ups and climates as callers send them and as they are answered again."""

from functools import partial
from typing import Any

import marshmallow as ma

from service.api.fields import Between, Flag, Int, Length, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, Member, Members, Request
from service.engine.physics.construction import MOST_LAYERS
from service.store.rules import Number
from service.usecases.build_up_members import BRIDGE_NUMBERS, FRAME_NUMBERS, NUMBERS, TEXTS
from service.usecases.climate_members import AIR, INSIDE_TEMPERATURE_C, RULES


def _number(rule: Number, text: str, **more: Any) -> Member:
    kind = Int if rule.whole else Num
    return Member(make=partial(kind, validate=Between(rule.least, rule.most)), text=text, **more)


def _text(name: str, text: str) -> Member:
    rule = TEXTS[name]
    return Member(make=partial(Str, validate=Length(rule.least, rule.most)), text=text)


def _flag(text: str, **more: Any) -> Member:
    return Member(make=Flag, text=text, **more)


def _pair(name: str, text: str, members: Members) -> tuple[type[ma.Schema], type[ma.Schema]]:
    """The shape that is sent and the one that is answered: what was given, no more."""
    sent = type(name, (Request,), {"__doc__": text, **{key: member.field() for key, member in members.items()}})
    fields = {key: member.field(required=False, dump_only=True) for key, member in members.items()}
    return sent, type(f"{name}Read", (Answer,), {"__doc__": text, **fields})


def _part_of(pair: tuple[type[ma.Schema], type[ma.Schema]], **kwargs: Any) -> ma.fields.Field[Any]:
    sent, read = pair
    return Part(read if kwargs.get("dump_only") else sent, **kwargs)


def _list_of(pair: tuple[type[ma.Schema], type[ma.Schema]], least: int, most: int, **kwargs: Any) -> ma.fields.Field[Any]:
    sent, read = pair
    if kwargs.get("dump_only"):
        return ListOf(Part(read), **kwargs)
    return ListOf(Part(sent), validate=Length(least, most), **kwargs)


_FRAME = _pair(
    "SteelFrame",
    "Light steel studs within insulation; naming them asks for the published method for light steel framing.",
    {
        "flange_mm": _number(FRAME_NUMBERS["flange_mm"], "Width of a stud's flange.", required=True),
        "spacing_mm": _number(FRAME_NUMBERS["spacing_mm"], "Distance between studs.", required=True),
        "depth_mm": _number(FRAME_NUMBERS["depth_mm"], "Depth of a stud.", required=True),
    },
)
_BRIDGE = _pair(
    "LayerBridge",
    "What runs through a layer from face to face.",
    {
        "fraction": _number(BRIDGE_NUMBERS["fraction"], "Its share of the area, 0 to 1.", required=True),
        "conductivity_w_mk": _number(
            BRIDGE_NUMBERS["conductivity_w_mk"],
            "Its conductivity, W/(m·K). From 10 up it is a metal: then `steel_frame` has to say how it is framed.",
            required=True,
        ),
        "steel_frame": Member(make=partial(_part_of, _FRAME), text="The studs, where the bridge is steel.", nullable=True),
    },
)
LayerBridgeRead = _BRIDGE[1]
_LAYER = _pair(
    "BuildUpLayer",
    'One layer of a build-up. One entry is `{"wall": true}`: there goes the wall itself, as thick as it is surveyed and made of '
    "what its substrate stands for, unless the entry names a material or a conductivity. Every other entry has a thickness (a "
    "thin layer of the list brings its own), and a material, a conductivity or a resistance.",
    {
        "wall": _flag("Here goes the wall."),
        "name": _text("name", "What it is called; a material's own name where left out."),
        "material_id": _text("material_id", "A material of `/v1/materials`: what is not given beside it is taken from there."),
        "thickness_mm": _number(NUMBERS["thickness_mm"], "Thickness; that of the wall's entry is for where there is no survey."),
        "conductivity_w_mk": _number(NUMBERS["conductivity_w_mk"], "Conductivity, W/(m·K)."),
        "resistance_m2k_w": _number(NUMBERS["resistance_m2k_w"], "Resistance instead, m²·K/W; 0 for a membrane."),
        "bridge": Member(make=partial(_part_of, _BRIDGE), text="What bridges it.", nullable=True),
        "mu": _number(NUMBERS["mu"], "Diffusion resistance factor μ; needed where moisture is followed."),
        "sd_m": _number(NUMBERS["sd_m"], "Diffusion-equivalent air layer thickness instead, m."),
        "existing": _flag("It is there before the work; so is what lies outside the wall, unless this says false."),
        "membrane": _flag("It is the vapour control layer; left out: the tightest new layer without thermal resistance."),
        "insulation": _flag("It is the layer to thicken for a target; left out: the new insulating layer that resists most."),
        "source": _text("source", "Where its numbers come from."),
    },
)
build_up_field = partial(_list_of, _LAYER, 1, MOST_LAYERS)
BUILD_UP = Member(
    make=build_up_field,
    text="Layers from inside to outside, one entry saying where the wall goes; null: what the parameters describe, with generic "
    "values.",
    nullable=True,
    default=None,
)
TARGET = Member(
    make=partial(Num, validate=Between(0.01, 10)),
    text="Thermal transmittance to be reached, W/(m²·K). Yours to set: no legal value is built in.",
    nullable=True,
    default=None,
)
CRITICAL_FACTOR = Member(
    make=partial(Num, validate=Between(0, 1)),
    text="Least temperature factor fRsi of the inside surface that is asked for, beside what each month asks.",
    nullable=True,
    default=None,
)

_AIR = _pair(
    "MonthAir",
    "Air of one month.",
    {
        "temperature_c": _number(AIR["temperature_c"], "Mean temperature, °C.", required=True),
        "humidity_percent": _number(AIR["humidity_percent"], "Mean relative humidity, %.", required=True),
    },
)
AirRead = _AIR[1]
_CLIMATE = _pair(
    "Climate",
    "Twelve months of outside air, January first, and inside air by humidity class or month by month.",
    {
        "outside": Member(make=partial(_list_of, _AIR, 12, 12), text="Twelve months outside.", required=True),
        "humidity_class": _number(
            RULES["humidity_class"],  # type: ignore[arg-type]
            "Humidity class of ISO 13788 instead of inside air: 1 to 4. Class 5 has no upper end and needs inside air.",
        ),
        "inside_temperature_c": _number(
            RULES["inside_temperature_c"],  # type: ignore[arg-type]
            f"Inside temperature that goes with the class, °C; {INSIDE_TEMPERATURE_C:g} where left out.",
        ),
        "inside": Member(make=partial(_list_of, _AIR, 12, 12), text="Twelve months inside, instead of a class."),
        "source": Member(make=partial(Str, validate=Length(1, 500)), text="Where the values come from; decides nothing."),
    },
)
CLIMATE = Member(
    make=partial(_part_of, _CLIMATE),
    text="Climate for the moisture checks; null: moisture is not followed. The values are yours: none are built in.",
    nullable=True,
    default=None,
)
YEAR_BUILT = Member(
    make=partial(Int, validate=Between(1000, 3000)),
    text="When the house was built, for the cautions; null: not known, and taken as old.",
    nullable=True,
    default=None,
)
