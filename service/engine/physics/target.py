"""How far a build-up is from a target, and how thick its insulation would have to be to reach it."""

from collections.abc import Callable
from dataclasses import dataclass

from service.engine.physics.construction import Construction
from service.engine.physics.faults import Checks, Refused
from service.engine.physics.steps import Sheet, Step, whole_up
from service.engine.physics.u_value import UValue, u_value

MOST_INSULATION_MM = 1000.0
_HALVINGS = 60
_HIT = 1 + 1e-9
"""A value this little above the target is the target."""


@dataclass(frozen=True, slots=True)
class ThicknessToTarget:
    """`thickness_mm` of the insulation layer, whole and unrounded, that just meets the target, `added_mm` of it beyond what is
    there; both None where no thickness does, and `reason` says why. Of a build-up that meets it already: its own thickness, 0."""

    thickness_mm: float | None
    added_mm: float | None
    reason: str

    @property
    def whole_mm(self) -> int | None:
        """The thickness up to the next whole millimetre, for ordering."""
        return None if self.thickness_mm is None else whole_up(self.thickness_mm)


def missing_resistance_m2k_w(u_value_w_m2k: float, target_w_m2k: float) -> float:
    """Resistance that would bring a transmittance down to the target: 1/Ut − 1/U, zero where it is met. Both above zero."""
    checks = Checks()
    checks.positive("u_value_w_m2k", u_value_w_m2k)
    checks.positive("target_w_m2k", target_w_m2k)
    checks.done()
    return max(0.0, 1 / target_w_m2k - 1 / u_value_w_m2k)


def missing_resistance_steps(u_value_w_m2k: float, target_w_m2k: float) -> tuple[Step, ...]:
    """The working of `missing_resistance_m2k_w`."""
    sheet = Sheet()
    value = missing_resistance_m2k_w(u_value_w_m2k, target_w_m2k)
    given = {"U_t": (target_w_m2k, "W/(m²·K)"), "U": (u_value_w_m2k, "W/(m²·K)")}
    sheet.write("resistance still missing", "R_missing", "max(0, 1 / U_t − 1 / U)", given, value, "m²·K/W", "from U = 1 / R_T")
    return sheet.steps()


def thickness_to_target(
    construction: Construction, layer: int, target_w_m2k: float, always_correct: bool = False, most_mm: float = MOST_INSULATION_MM
) -> ThicknessToTarget:
    """The least thickness of insulation layer `layer`, from its present one up to `most_mm`, from which on the target is met with
    the corrections that count there: a thicker product never fails because a correction that was left out comes in. Fasteners
    that go all the way through are taken to do so in the thicker layer too.

    Refused: a target of zero or less, a layer that is not there or is given by its resistance.
    """
    checks = Checks()
    checks.positive("target_w_m2k", target_w_m2k)
    if not 0 <= layer < len(construction.layers):
        checks.add(("layer",), "out_of_range", f"there is no layer {layer}")
    checks.done()
    present = construction.layers[layer].thickness_mm
    construction.with_thickness(layer, present)

    def made(thickness_mm: float, corrected: bool = always_correct) -> UValue:
        return u_value(construction.with_thickness(layer, thickness_mm), corrected)

    def meets(thickness_mm: float) -> bool:
        return made(thickness_mm).u_value_w_m2k <= target_w_m2k * _HIT

    most_mm = max(most_mm, present)
    try:
        if meets(present):
            return ThicknessToTarget(present, 0.0, "the target is met as built")
        least = _least(present, most_mm, lambda t: made(t).u_value_uncorrected_w_m2k <= target_w_m2k)
        if least is not None:
            corrected = _least(least, most_mm, lambda t: made(t, True).u_value_w_m2k <= target_w_m2k)
            if corrected is not None and made(corrected).corrections_counted:
                least = corrected
            else:
                least = _least(least, corrected or most_mm, meets)
    except Refused as refusal:
        return ThicknessToTarget(None, None, f"a thicker layer leaves what the method allows: {refusal}")
    if least is None:
        return ThicknessToTarget(None, None, f"no thickness of this layer up to {most_mm:g} mm reaches {target_w_m2k:g} W/(m²·K)")
    return ThicknessToTarget(least, least - present, "the least thickness from which on the target is met")


def _least(low: float, high: float, holds: Callable[[float], bool]) -> float | None:
    """Where a condition that fails low and holds high begins to hold, by halving; `low` if it holds there, None if nowhere."""
    if holds(low):
        return low
    if not holds(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high
