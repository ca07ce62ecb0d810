"""Assessing a build-up without a survey."""

from dataclasses import replace
from functools import partial

from service.api.fields import Between, Flag, Int, ListOf, Num, Part, Str, Word
from service.api.schemas.build_ups import BUILD_UP, CLIMATE, CRITICAL_FACTOR, TARGET
from service.api.schemas.family import ABSENT, Request, answered
from service.api.schemas.thermal import AssessedLayers, MethodLimit, MoistureWhole, Step, SurfaceCheck
from service.usecases.assess_build_up import BRACKETS_PER_M2, DEFAULTS, WALL_THICKNESS_MM
from service.vocabulary import Substrate


def _parameter(name: str, text: str) -> Num:
    least, most, default = DEFAULTS[name]
    kind = Int if name.endswith("_level") else Num
    return kind(validate=Between(least, most), metadata={"description": text, "default": default})


class BuildUpAssess(Request):
    """A build-up to be assessed. Nothing is stored."""

    build_up = replace(
        BUILD_UP,
        text="Layers from inside to outside. One entry may say where a wall goes; without one the layers are the whole of it.",
        required=True,
        nullable=False,
        default=ABSENT,
    ).field()
    substrate = Word(
        Substrate,
        metadata={"description": "What the wall is made of, where the build-up has one.", "default": Substrate.SOLID_BRICK.value},
    )
    wall_thickness_mm = Num(
        validate=Between(WALL_THICKNESS_MM.least, WALL_THICKNESS_MM.most),
        metadata={"description": "How thick the wall is, unless its entry in the build-up says so.", "default": 225},
    )
    brackets_per_m2 = Num(
        validate=Between(BRACKETS_PER_M2.least, BRACKETS_PER_M2.most),
        metadata={"description": "Brackets or fasteners through the insulation layer on each square metre.", "default": 0},
    )
    bracket_section_mm2 = _parameter("bracket_section_mm2", "Cross-section of one, mm².")
    bracket_conductivity_w_mk = _parameter("bracket_conductivity_w_mk", "What it conducts, W/(m·K).")
    insulation_air_gap_level = _parameter("insulation_air_gap_level", "Air gaps in the insulation by level of ISO 6946.")
    target_u_value_w_m2k = TARGET.field()
    critical_temperature_factor = CRITICAL_FACTOR.field()
    climate = CLIMATE.field()


class MoistureAssessed(MoistureWhole):
    """Moisture of the build-up, month by month."""

    condenses = answered(
        Flag, "Whether water gathers in any month as it is built; null where it was not followed.", allow_none=True
    )
    not_followed = answered(Str, "Why it was not followed.", allow_none=True)
    surface = answered(partial(Part, SurfaceCheck), "The inside surface.")


class BuildUpAssessment(AssessedLayers):
    """What a build-up comes to, with its working and what the methods leave out."""

    assumed = answered(Str, "What was taken of a wall whose material is not known well.", allow_none=True)
    moisture = answered(partial(Part, MoistureAssessed), "Moisture; null without a climate.", allow_none=True)
    climate_steps = answered(partial(ListOf, Part(Step)), "The working of the inside air, where a humidity class stands for it.")
    limits = answered(partial(ListOf, Part(MethodLimit)), "What the methods leave out: read them before relying on a figure.")
