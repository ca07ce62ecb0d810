"""The thermal transmittance of a build-up with its limits, and its corrections (ISO 6946:2017)."""

from dataclasses import dataclass

from service.engine.physics.construction import Construction
from service.engine.physics.corrections import LEAVE_OUT_BELOW, AirGaps
from service.engine.physics.resistance import between, lower_limit_m2k_w, upper_limit_m2k_w
from service.engine.physics.steps import shown


@dataclass(frozen=True, slots=True)
class CorrectionTerm:
    """What one correction comes to, whether or not it ends up counted."""

    kind: str
    layer: str
    delta_w_m2k: float


@dataclass(frozen=True, slots=True)
class UValue:
    """Everything unrounded. `method` is `combined` or `light_steel`; `relative_error` is (R′T − R″T) / (2·RT), what the combined
    method may be off by at most. `corrections_counted` is false where together they stay below 3 % and were left out."""

    method: str
    resistance_upper_m2k_w: float
    resistance_lower_m2k_w: float
    resistance_m2k_w: float
    relative_error: float
    u_value_uncorrected_w_m2k: float
    corrections: tuple[CorrectionTerm, ...]
    corrections_counted: bool
    u_value_w_m2k: float

    @property
    def corrections_w_m2k(self) -> float:
        """All corrections together, counted or not."""
        return sum(term.delta_w_m2k for term in self.corrections)

    @property
    def u_value_shown(self) -> str:
        """To two decimal places, as the standard has a result reported."""
        return shown(self.u_value_w_m2k)


def u_value(construction: Construction, always_correct: bool = False) -> UValue:
    """Thermal transmittance, W/(m²·K). `always_correct` counts even corrections that the standard lets one leave out.

    Refused: limits more than 1.5 to 1 apart; a steel frame outside the published method."""
    upper, lower = upper_limit_m2k_w(construction), lower_limit_m2k_w(construction)
    total = between(construction, upper, lower)
    terms = correction_terms(construction)
    delta = sum(term.delta_w_m2k for term in terms)
    uncorrected = 1 / total
    counted = bool(terms) and (always_correct or delta >= LEAVE_OUT_BELOW * uncorrected)
    return UValue(
        method="combined" if construction.steel_frame is None else "light_steel",
        resistance_upper_m2k_w=upper,
        resistance_lower_m2k_w=lower,
        resistance_m2k_w=total,
        relative_error=max(0.0, upper - lower) / (2 * total),
        u_value_uncorrected_w_m2k=uncorrected,
        corrections=terms,
        corrections_counted=counted,
        u_value_w_m2k=uncorrected + delta if counted else uncorrected,
    )


def correction_terms(construction: Construction) -> tuple[CorrectionTerm, ...]:
    """Each correction in the order given."""
    total = construction.clear_m2k_w
    terms = []
    for correction in construction.corrections:
        layer = construction.layers[correction.layer]
        if isinstance(correction, AirGaps):
            terms.append(CorrectionTerm("air_gaps", layer.name, correction.delta_w_m2k(layer.clear_m2k_w, total)))
        else:
            delta = correction.delta_w_m2k(layer.thickness_mm, layer.clear_m2k_w, total)
            terms.append(CorrectionTerm("fasteners", layer.name, delta))
    return tuple(terms)
