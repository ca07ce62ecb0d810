"""What the methods leave out: sentences that belong beside every answer they give."""

from dataclasses import dataclass

from service.vocabulary import Certainty


@dataclass(frozen=True, slots=True)
class Limit:
    id: str
    text: str
    source: str
    certainty: Certainty


THERMAL_LIMITS: tuple[Limit, ...] = (
    Limit(
        "plane_areas",
        "Transmittances are those of plane areas; loss at edges, reveals, floors and ceilings comes on top and is not counted.",
        "ISO 6946:2017, scope",
        Certainty.FROM_MEMORY,
    ),
    Limit(
        "metal_in_insulation",
        "The combined method does not hold where metal bridges insulation: a frame counts only as the air around it, its "
        "insulation not at all, unless the method for light steel framing is asked for.",
        "ISO 6946:2017, scope; Building and Environment 42 (2007), 230 to 236, for frames with all insulation outside them",
        Certainty.READ,
    ),
    Limit(
        "brackets_approximate",
        "Brackets are counted as fasteners from one side of the insulation to the other. A metal frame that they are joined to "
        "may draw more heat through them than the formula gives; a calculation to ISO 10211 would tell.",
        "ISO 6946:2017, F.3",
        Certainty.FROM_MEMORY,
    ),
    Limit(
        "independent_bridges",
        "Bridges of different layers are taken to cross at random, not to line up.",
        "the convention of the combined method when paths are multiplied",
        Certainty.COMMON_PRACTICE,
    ),
    Limit(
        "dry_design_values",
        "Conductivities are design values; masonry that is wetter or of another make than assumed loses more or less. "
        "Measured solid walls often lose less than calculated.",
        "a 2018 summary of United Kingdom measurements",
        Certainty.READ_SECONDARY,
    ),
)

MOISTURE_LIMITS: tuple[Limit, ...] = (
    Limit(
        "no_rain", "Driving rain that soaks the wall from outside is not in the method.", "ISO 13788:2012, scope", Certainty.READ
    ),
    Limit(
        "no_capillarity",
        "Liquid water drawn through pores, and vapour taken up by materials, are not in the method.",
        "ISO 13788:2012, scope",
        Certainty.READ,
    ),
    Limit(
        "no_built_in_water",
        "The wall starts dry: water built in, rising from the ground or left by a leak is not in the method.",
        "ISO 13788:2001, scope",
        Certainty.READ,
    ),
    Limit(
        "no_air_leakage",
        "Room air that leaks behind the lining through gaps, sockets and edges carries far more vapour than diffusion, and is "
        "not in the method: the vapour control layer is taken to be whole and sealed.",
        "ISO 13788:2012, scope",
        Certainty.READ,
    ),
    Limit(
        "clear_parts",
        "Moisture is followed straight through the parts between studs and brackets; next to metal it is colder or warmer.",
        "one-dimensional method of ISO 13788:2012",
        Certainty.READ,
    ),
    Limit(
        "solid_masonry",
        "For solid masonry, above all where it faces driving rain, this check is not enough: a simulation to EN 15026 and a "
        "competent assessor are needed before the wall is lined.",
        "BS 5250:2021; scope of ISO 13788:2012",
        Certainty.FROM_MEMORY,
    ),
    Limit(
        "plane_surface",
        "The surface check is for plane areas; corners, reveals and the meeting of wall and floor are colder.",
        "ISO 13788:2012, clause 5",
        Certainty.FROM_MEMORY,
    ),
)

CLIMATE_NEEDED = Limit(
    "climate_needed",
    "Nothing is said about moisture: that needs twelve months of outside air, and inside air or a humidity class, from you.",
    "ISO 13788:2012, climate data",
    Certainty.FROM_MEMORY,
)
