"""Corrections of the thermal transmittance for air gaps and for mechanical fasteners (ISO 6946:2017, Annex F; 2007: Annex D).

The formulas are from memory; the rule on when they may be left out was seen in a second source.
"""

from dataclasses import dataclass

from service.engine.physics.faults import Checks

FASTENER_CLAUSE = "ISO 6946:2017, F.3.2"
AIR_GAP_CLAUSE = "ISO 6946:2017, F.2"
LEAVE_OUT_CLAUSE = "ISO 6946:2017, Annex F, corrections below 3 %"
LEAVE_OUT_BELOW = 0.03
"""Corrections that together come to less than this share of the uncorrected value may be left out."""
FASTENER_COUNTS_FROM_W_MK = 1.0
FULL_PENETRATION_ALPHA = 0.8
AIR_GAP_DELTA_W_M2K = {0: 0.0, 1: 0.01, 2: 0.04}
"""By level: 0 no gaps through the layer, 1 gaps but no air round the insulation, 2 gaps and air moving behind it."""


@dataclass(frozen=True, slots=True)
class Fasteners:
    """Fasteners or brackets through the insulation `layer` (its index from inside).

    `per_m2`: how many a square metre of wall; `area_mm2`: cross-section of one; `penetration_mm`: how deep it goes into the
    layer, all the way when left out. The method does not hold for a fastener that joins two metal sheets, and one that conducts
    less than 1 W/(m·K) counts for nothing.
    """

    layer: int
    per_m2: float
    area_mm2: float
    conductivity_w_mk: float
    penetration_mm: float | None = None
    joins_metal_sheets: bool = False

    def __post_init__(self) -> None:
        checks = Checks()
        checks.within("per_m2", self.per_m2, 0, 1000)
        checks.positive("area_mm2", self.area_mm2, 1e5)
        checks.positive("conductivity_w_mk", self.conductivity_w_mk, 1000)
        if self.penetration_mm is not None:
            checks.positive("penetration_mm", self.penetration_mm)
        if self.joins_metal_sheets:
            checks.add(
                ("joins_metal_sheets",),
                "method_not_valid",
                "the fastener correction does not hold where both ends touch a metal sheet: it needs a detailed calculation",
            )
        checks.done()

    def alpha(self, thickness_mm: float) -> float:
        """The coefficient α: 0.8 for full penetration, in proportion for a recessed fastener."""
        if self.penetration_mm is None:
            return FULL_PENETRATION_ALPHA
        return FULL_PENETRATION_ALPHA * min(1.0, self.penetration_mm / thickness_mm)

    def delta_w_m2k(self, thickness_mm: float, layer_m2k_w: float, total_m2k_w: float) -> float:
        """ΔUf = α · λf · Af · nf / d · (R₁ / RT,h)², with R₁ the layer and RT,h the whole element without its bridges."""
        if self.conductivity_w_mk < FASTENER_COUNTS_FROM_W_MK:
            return 0.0
        through = self.conductivity_w_mk * self.area_mm2 * 1e-6 * self.per_m2 / (thickness_mm / 1000)
        return self.alpha(thickness_mm) * through * (layer_m2k_w / total_m2k_w) ** 2


@dataclass(frozen=True, slots=True)
class AirGaps:
    """Air gaps in the insulation `layer` (its index from inside), by level 0, 1 or 2."""

    layer: int
    level: int

    def __post_init__(self) -> None:
        checks = Checks()
        if self.level not in AIR_GAP_DELTA_W_M2K:
            checks.add(("level",), "out_of_range", f"the level of air gaps is 0, 1 or 2, not {self.level}")
        checks.done()

    def delta_w_m2k(self, layer_m2k_w: float, total_m2k_w: float) -> float:
        """ΔUg = ΔU″ · (R₁ / RT,h)²."""
        return AIR_GAP_DELTA_W_M2K[self.level] * (layer_m2k_w / total_m2k_w) ** 2


Correction = Fasteners | AirGaps
