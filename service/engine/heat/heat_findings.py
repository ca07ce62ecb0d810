"""What a person should know about heat and moisture of a wall, in sentences with their figures."""

from collections.abc import Callable

from service.engine.findings import finding
from service.engine.heat.constructions import insulation_among
from service.engine.heat_inputs import BuildUp, HeatInputs
from service.engine.heat_results import WallHeat
from service.engine.parameters import Parameters
from service.engine.physics.assessment import Assessment
from service.engine.physics.steps import shown
from service.engine.results import Finding
from service.finding_codes import FindingCode

Note = Callable[[FindingCode, str], None]
SAME_MM = 0.5
"""Thicknesses that differ by less are the same."""
REACHED = 1 + 1e-9
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def build_up_findings(build_up: BuildUp | None, p: Parameters) -> list[Finding]:
    """Whether what is calculated is what is ordered: insulation as thick as the parameters say."""
    if build_up is None:
        return []
    at = insulation_among(build_up.layers)
    if at is None:
        return []
    insulation = build_up.layers[at].layer
    if abs(insulation.thickness_mm - p.insulation_thickness_mm) < SAME_MM:
        return []
    message = (
        f"The build-up has {insulation.thickness_mm:g} mm of {insulation.name}, but the insulation that is set out and ordered "
        f"is {p.insulation_thickness_mm:g} mm thick."
    )
    return [finding(FindingCode.BUILD_UP_DIFFERS, message, None)]


def wall_findings(wall: WallHeat, asked: HeatInputs) -> list[Finding]:
    found = []

    def note(code: FindingCode, message: str) -> None:
        found.append(finding(code, message, wall.room, wall.wall))

    if wall.assumed is not None:
        note(FindingCode.WALL_MATERIAL_ASSUMED, f"For heat and moisture this wall was taken as {wall.assumed}.")
    if wall.assessment is None:
        note(FindingCode.HEAT_NOT_ASSESSED, f"Heat and moisture of this wall could not be assessed: {wall.reason}.")
        return found
    if wall.assessment.no_moisture is not None:
        note(FindingCode.HEAT_NOT_ASSESSED, f"Moisture in this wall could not be followed: {wall.assessment.no_moisture}.")
    _target(note, wall.assessment, asked.target_u_value_w_m2k)
    _surface(note, wall.assessment)
    _interstitial(note, wall.assessment)
    return found


def _target(note: Note, assessment: Assessment, target: float | None) -> None:
    u = assessment.u_after.u_value_w_m2k
    if target is None or assessment.missing_m2k_w is None or u <= target * REACHED:
        return
    message = (
        f"The thermal transmittance is {shown(u)} W/(m²·K), the target {target:g}: {shown(assessment.missing_m2k_w)} m²·K/W is "
        "still missing"
    )
    to_target, insulation = assessment.to_target, assessment.question.insulation
    if to_target is None or insulation is None:
        message += ", and there is no insulation layer to make thicker."
    elif to_target.whole_mm is None:
        message += f"; {to_target.reason}."
    else:
        message += f"; {to_target.whole_mm} mm of {assessment.question.after.layers[insulation].name} would reach it."
    note(FindingCode.THERMAL_TARGET_MISSED, message)


def _surface(note: Note, assessment: Assessment) -> None:
    surface = assessment.surface
    if surface is None:
        return
    if not surface.factor_reached and surface.critical_month is not None and surface.required_factor is not None:
        message = (
            f"Mould may grow on the inside surface: its temperature factor is {shown(surface.temperature_factor)}, "
            f"{MONTHS[surface.critical_month - 1]} asks for {shown(surface.required_factor)}."
        )
        note(FindingCode.MOULD_RISK, message)
    elif surface.critical_reached is False:
        message = (
            f"The temperature factor of the inside surface is {shown(surface.temperature_factor)}, below the critical "
            f"{surface.critical_factor:g} that is asked for."
        )
        note(FindingCode.MOULD_RISK, message)


def _interstitial(note: Note, assessment: Assessment) -> None:
    if assessment.moisture is None:
        return
    year = assessment.moisture.as_built
    if not year.condenses or year.peak_month is None:
        return
    where = " and ".join(year.nodes[plane].name for plane in year.wet_planes[:3])
    dries = "it dries out again within the year" if year.dries_out else f"{year.left_g_m2:.0f} g/m² is left after a year"
    message = (
        f"Moisture condenses within the wall, {where}: up to {year.peak_g_m2:.0f} g/m² by the end of "
        f"{MONTHS[year.peak_month - 1]}; {dries}."
    )
    note(FindingCode.CONDENSATION_RISK, message)
