"""A layer of a build-up: how thick, how it resists heat and vapour, what bridges it, where its numbers come from."""

from dataclasses import dataclass, replace

from service.engine.physics.faults import Checks, refuse

LAYER_CLAUSE = "ISO 6946:2017, 6.7.1"
METAL_FROM_W_MK = 10.0
"""A bridge that conducts this well is a metal (stainless steel 16 to 29, steel 45 to 50); stone and concrete stay below 4."""
MOST_THICKNESS_MM = 5000.0
MOST_CONDUCTIVITY_W_MK = 1000.0
MOST_RESISTANCE_M2K_W = 100.0
MOST_SD_M = 1e6


@dataclass(frozen=True, slots=True)
class Bridge:
    """What runs through a layer from face to face: its share of the area (0 to 1) and its conductivity."""

    fraction: float
    conductivity_w_mk: float

    def __post_init__(self) -> None:
        checks = Checks()
        checks.within("fraction", self.fraction, 0, 1)
        checks.positive("conductivity_w_mk", self.conductivity_w_mk, MOST_CONDUCTIVITY_W_MK)
        checks.done()

    @property
    def is_metal(self) -> bool:
        return self.fraction > 0 and self.conductivity_w_mk >= METAL_FROM_W_MK


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer. Exactly one of `conductivity_w_mk` and `resistance_m2k_w`; at most one of `mu` and `sd_m`, needed only where
    moisture is followed. A resistance of zero is allowed (a membrane that keeps out vapour, not cold); a thickness or a
    conductivity of zero is not.

    `mu`: diffusion resistance factor, dimensionless. `sd_m`: diffusion-equivalent air layer thickness. `source`: where the
    numbers come from, in words.
    """

    name: str
    thickness_mm: float
    conductivity_w_mk: float | None = None
    resistance_m2k_w: float | None = None
    bridge: Bridge | None = None
    mu: float | None = None
    sd_m: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        checks = Checks()
        checks.positive("thickness_mm", self.thickness_mm, MOST_THICKNESS_MM)
        if self.conductivity_w_mk is not None and self.resistance_m2k_w is not None:
            checks.add(("resistance_m2k_w",), "both_given", "give a conductivity or a resistance, not both")
        elif self.conductivity_w_mk is not None:
            checks.positive("conductivity_w_mk", self.conductivity_w_mk, MOST_CONDUCTIVITY_W_MK)
        elif self.resistance_m2k_w is not None:
            checks.within("resistance_m2k_w", self.resistance_m2k_w, 0, MOST_RESISTANCE_M2K_W)
        else:
            checks.add(("conductivity_w_mk",), "missing", "a layer needs a conductivity or a resistance")
        if self.bridge is not None and self.resistance_m2k_w == 0:
            checks.add(("bridge",), "nothing_to_bridge", "a layer without resistance cannot be bridged")
        if self.mu is not None and self.sd_m is not None:
            checks.add(("sd_m",), "both_given", "give a diffusion resistance factor or an equivalent thickness, not both")
        elif self.mu is not None:
            checks.positive("mu", self.mu, 1e9)
        elif self.sd_m is not None:
            checks.positive("sd_m", self.sd_m, MOST_SD_M)
        checks.done()

    @property
    def clear_m2k_w(self) -> float:
        """Resistance of the layer away from its bridge."""
        if self.conductivity_w_mk is not None:
            return self.thickness_mm / 1000 / self.conductivity_w_mk
        assert self.resistance_m2k_w is not None
        return self.resistance_m2k_w

    @property
    def bridge_m2k_w(self) -> float:
        """Resistance along its bridge; of a layer without one, that of the layer."""
        return self.thickness_mm / 1000 / self.bridge.conductivity_w_mk if self.bridge else self.clear_m2k_w

    @property
    def vapour_sd_m(self) -> float:
        """Diffusion-equivalent air layer thickness, m. Refused where neither `mu` nor `sd_m` is given."""
        if self.sd_m is not None:
            return self.sd_m
        if self.mu is None:
            detail = f"layer '{self.name}' needs a diffusion resistance factor or equivalent thickness to follow moisture"
            raise refuse(("mu",), "missing", detail)
        return self.mu * self.thickness_mm / 1000

    def of_thickness(self, thickness_mm: float) -> "Layer":
        """The same material in another thickness. Refused for a layer that is given by its resistance."""
        if self.conductivity_w_mk is None:
            detail = f"layer '{self.name}' has a fixed resistance, so it has no other thickness"
            raise refuse(("conductivity_w_mk",), "missing", detail)
        return replace(self, thickness_mm=thickness_mm)
