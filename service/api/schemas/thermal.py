"""Heat and moisture as they are answered: walls with layers and working, rooms, months of moisture, limits; cautions."""

from functools import partial

from service.api.fields import Flag, Id, Int, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, answered

_optional = partial(answered, allow_none=True)


class BridgeUsed(Answer):
    """What runs through a layer."""

    fraction = answered(Num, "Its share of the area.")
    conductivity_w_mk = answered(Num, "Its conductivity, W/(m·K).")


class LayerUsed(Answer):
    """A layer with its numbers as they were used."""

    name = answered(Str, "What it is.")
    thickness_mm = answered(Num, "Thickness.")
    conductivity_w_mk = _optional(Num, "Conductivity, W/(m·K); null where it is given by its resistance.")
    resistance_m2k_w = answered(Num, "Resistance away from its bridge, m²·K/W.")
    bridge = _optional(partial(Part, BridgeUsed), "What bridges it.")
    mu = _optional(Num, "Diffusion resistance factor.")
    sd_m = _optional(Num, "Diffusion-equivalent air layer thickness, where given instead.")
    source = answered(Str, "Where its numbers come from, and how sure that is.")


class CorrectionTerm(Answer):
    """What one correction comes to."""

    kind = answered(Str, "fasteners or air_gaps.")
    layer = answered(Str, "The layer it is of.")
    delta_u_w_m2k = answered(Num, "What it adds, W/(m²·K).")
    counted = answered(Flag, "False where the corrections together stay below 3 % and were left out.")


class StepInput(Answer):
    """A number that was put in."""

    symbol = answered(Str, "Its symbol in the formula.")
    value = answered(Num, "Its value.")
    unit = answered(Str, "Its unit; empty for a plain number.")


class Step(Answer):
    """One line of working: `symbol` = `formula` = `value` `unit`, to be followed on paper."""

    about = answered(Str, "What it is, in words.")
    symbol = answered(Str, "Its symbol.")
    formula = answered(Str, "Plain arithmetic in the symbols of its inputs.")
    inputs = answered(partial(ListOf, Part(StepInput)), "What was put in.")
    value = answered(Num, "What it comes to.")
    unit = answered(Str, "Its unit; empty for a plain number.")
    clause = answered(Str, "The standard and clause that ask for it.")


class SurfaceMonth(Answer):
    """The inside surface in one month."""

    month = answered(Int, "1 is January.")
    surface_temperature_c = answered(Num, "Its temperature, °C.")
    surface_humidity_percent = answered(Num, "Relative humidity at it, %.")
    least_surface_temperature_c = answered(Num, "What keeps that at 80 %, °C.")
    required_factor = _optional(Num, "The temperature factor that it takes; null where it is as warm outside.")
    humidity_kept = answered(Flag, "Whether it stays at or below 80 %.")


class SurfaceCheck(Answer):
    """Whether mould keeps away from the inside surface."""

    temperature_factor = answered(Num, "fRsi of the plane wall, with an inside surface resistance of 0.25 m²·K/W.")
    required_factor = _optional(Num, "The most that a month asks for.")
    critical_month = _optional(Int, "The month that asks for it.")
    factor_reached = answered(Flag, "Whether every month's is reached.")
    critical_factor = _optional(Num, "The specification's own critical value.")
    critical_reached = _optional(Flag, "Whether that is reached.")
    months = answered(partial(ListOf, Part(SurfaceMonth)), "Twelve months.")


class CondensationVerdict(Answer):
    """A year of moisture within the wall, in short."""

    condenses = answered(Flag, "Whether water gathers in any month.")
    dries_out = answered(Flag, "Whether nothing is left after twelve months.")
    peak_g_m2 = answered(Num, "The most that is held at the end of a month, g/m².")
    peak_month = _optional(Int, "When; 1 is January.")
    dry_month = _optional(Int, "The month by whose end all is dry again.")
    left_g_m2 = answered(Num, "What is left after twelve months, g/m².")


class WallMoisture(Answer):
    """Moisture of one wall in short; `number` leads to the whole account of its construction."""

    number = _optional(Int, "Which entry of `moisture` it is; null where it was not followed.")
    not_followed = _optional(Str, "Why it was not.")
    with_membrane = _optional(partial(Part, CondensationVerdict), "With the vapour control layer; null where there is none.")
    without_membrane = _optional(partial(Part, CondensationVerdict), "Without it.")
    surface = answered(partial(Part, SurfaceCheck), "The inside surface.")


class AssessedLayers(Answer):
    """What a build-up comes to."""

    layers = answered(partial(ListOf, Part(LayerUsed)), "From inside to outside.")
    method = _optional(Str, "combined (ISO 6946) or light_steel.")
    resistance_upper_m2k_w = _optional(Num, "Upper limit, surfaces included.")
    resistance_lower_m2k_w = _optional(Num, "Lower limit, surfaces included.")
    resistance_m2k_w = _optional(Num, "Total resistance.")
    relative_error = _optional(Num, "What the combined method may be off by at most, as a share.")
    u_value_uncorrected_w_m2k = _optional(Num, "Before corrections.")
    corrections = answered(partial(ListOf, Part(CorrectionTerm)), "For brackets through the insulation and gaps in it.")
    u_value_before_w_m2k = _optional(Num, "Before the work.")
    u_value_w_m2k = _optional(Num, "After the work.")
    target_u_value_w_m2k = _optional(Num, "What is to be reached; null: nothing was asked.")
    missing_resistance_m2k_w = _optional(Num, "Resistance still missing; 0 where the target is reached.")
    insulation_to_target_mm = _optional(
        Int, "How much thicker the insulation has to be, up to whole mm; 0 where reached, null where no thickness does."
    )
    insulation_thickness_at_target_mm = _optional(Int, "How thick it then is.")
    to_target = _optional(Str, "What that thickness is, or why there is none.")
    steps = answered(
        partial(ListOf, Part(Step)), "The working: transmittance, target, and the inside surface in the month that asks most."
    )
    steps_before = answered(partial(ListOf, Part(Step)), "The working of the transmittance before the work.")


class WallThermal(AssessedLayers):
    """A wall that is to be lined."""

    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "The wall.")
    area_m2 = answered(Num, "Masonry face without openings.")
    opening_area_m2 = answered(Num, "Openings in it; what they lose is not counted here.")
    carries_lining = answered(Flag, "False where no lining could be set out: it stays as it is.")
    brackets = answered(Int, "Brackets in its layout.")
    brackets_per_m2 = answered(Num, "Of lined area.")
    assumed = _optional(Str, "What was taken of a wall whose material is not known well.")
    not_assessed = _optional(Str, "Why it could not be assessed.")
    heat_loss_before_w_k = _optional(Num, "Before the work, W/K.")
    heat_loss_w_k = _optional(Num, "After it, W/K.")
    moisture = _optional(partial(Part, WallMoisture), "In short; null without a climate.")


class ThermalSums(Answer):
    """Lined walls together."""

    area_m2 = answered(Num, "Their masonry faces without openings.")
    opening_area_m2 = answered(Num, "Openings in them.")
    heat_loss_before_w_k = _optional(Num, "Before the work, W/K; null where a wall could not be assessed.")
    heat_loss_w_k = _optional(Num, "After it, W/K.")
    floor_area_m2 = _optional(Num, "Floor between the walls; null where they are no closed loop.")
    floor_area_lost_m2 = answered(Num, "Floor that the lining takes up.")
    floor_area_lost_percent = _optional(Num, "As a share of the floor, %.")


class RoomThermal(ThermalSums):
    """The lined walls of one room."""

    room_id = answered(Id, "The room.")
    steps = answered(partial(ListOf, Part(Step)), "The working of its heat losses.")


class WetPlane(Answer):
    """Where water gathers."""

    plane = answered(Int, "Its number, from inside.")
    name = answered(Str, "Where it is.")
    resistance_m2k_w = answered(Num, "Resistance from the room to it, m²·K/W.")
    sd_m = answered(Num, "Diffusion-equivalent thickness from the inside surface to it, m.")


class PlaneMonth(Answer):
    """A plane in one month."""

    plane = answered(Int, "Its number.")
    temperature_c = answered(Num, "°C.")
    saturation_pa = answered(Num, "Saturation pressure, Pa.")
    vapour_pressure_pa = answered(Num, "Vapour pressure as the month starts, Pa.")
    change_g_m2 = answered(Num, "Gathered (+) or given off (−), g/m².")
    held_g_m2 = answered(Num, "Held at the month's end, g/m².")


class MoistureMonth(Answer):
    """The wall in one month of the run."""

    month = answered(Int, "1 is January.")
    change_g_m2 = answered(Num, "Gathered (+) or given off (−) on all planes, g/m².")
    held_g_m2 = answered(Num, "Held on all planes at the month's end, g/m².")
    inflow_g_m2 = answered(Num, "Vapour in through the inside surface, g/m².")
    outflow_g_m2 = answered(Num, "Vapour out through the outside surface, g/m².")
    wet_surfaces = answered(partial(ListOf, Str()), "Surfaces that are wet themselves: inside, outside.")
    planes = answered(partial(ListOf, Part(PlaneMonth)), "Each plane that is wet at some time.")


class MoistureYear(CondensationVerdict):
    """Twelve months from the one that makes the worst year, dry at the start."""

    start_month = answered(Int, "The month it starts with.")
    planes = answered(partial(ListOf, Part(WetPlane)), "Where water gathers at some time.")
    months = answered(partial(ListOf, Part(MoistureMonth)), "Twelve months in the run's order.")
    steps = answered(partial(ListOf, Part(Step)), "The working.")


class MoistureWhole(Answer):
    """The same build-up with and without its vapour control layer."""

    membrane = _optional(Str, "The vapour control layer; null where there is none.")
    with_membrane = _optional(partial(Part, MoistureYear), "With it.")
    without_membrane = _optional(partial(Part, MoistureYear), "Without it.")


class WallPlace(Answer):
    """A wall by its ids."""

    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "The wall.")


class ConstructionMoisture(MoistureWhole):
    """A construction whose moisture was followed, and the walls that have it."""

    number = answered(Int, "Its number.")
    walls = answered(partial(ListOf, Part(WallPlace)), "The walls that are built so.")


class MethodLimit(Answer):
    """What the methods leave out."""

    code = answered(Str, "A stable code.")
    text = answered(Str, "A sentence.")
    source = answered(Str, "Where it comes from.")
    certainty = answered(Str, "How that was checked.")


class Thermal(Answer):
    """Heat and moisture of a takeoff."""

    build_up_given = answered(Flag, "False where the lining's parameters stood in for a build-up.")
    walls = answered(partial(ListOf, Part(WallThermal)), "Walls that are to be lined, in survey order.")
    rooms = answered(partial(ListOf, Part(RoomThermal)), "Rooms in survey order.")
    total = answered(partial(Part, ThermalSums), "All together.")
    moisture = answered(partial(ListOf, Part(ConstructionMoisture)), "Construction by construction; empty without a climate.")
    steps = answered(partial(ListOf, Part(Step)), "The working of the inside air, where a humidity class stands for it.")
    limits = answered(partial(ListOf, Part(MethodLimit)), "What the methods leave out: read them before relying on a figure.")


class Caution(Answer):
    """What to think of before the work. It never says that a job is in order: local rules and licensed practice decide."""

    code = answered(Str, "A stable code.")
    because = answered(Str, "Why it stands here.")
    what_to_do = answered(Str, "What to do.")
    competent = answered(Str, "Who is competent to do it.")
    source = answered(Str, "Where it comes from.")
    certainty = answered(Str, "How that was checked.")
    walls = answered(partial(ListOf, Part(WallPlace)), "The walls that call for it.")


class Cautions(Answer):
    """What to think of before the work, chosen by what the job holds."""

    cautions = answered(partial(ListOf, Part(Caution)), "In a fixed order.")
