"""A build-up from inside to outside with its surfaces, what goes through its insulation, and the method it calls for."""

import math
from dataclasses import dataclass, replace

from service.engine.physics.air import WALL_SURFACES, Surfaces
from service.engine.physics.corrections import AirGaps, Correction, Fasteners
from service.engine.physics.faults import Checks, refuse
from service.engine.physics.layers import Bridge, Layer

MOST_LAYERS = 40
MOST_BRIDGED_LAYERS = 6
STEEL_W_MK = 50.0


@dataclass(frozen=True, slots=True)
class SteelFrame:
    """Light steel studs within insulation: flange width, spacing and depth of a stud, mm.

    Naming the frame asks for the published method for light steel framing instead of the combined method."""

    flange_mm: float
    spacing_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        checks = Checks()
        checks.positive("flange_mm", self.flange_mm, 200)
        checks.positive("spacing_mm", self.spacing_mm, 2000)
        checks.positive("depth_mm", self.depth_mm, 500)
        checks.done()


def steel_bridge(web_mm: float, spacing_mm: float, conductivity_w_mk: float = STEEL_W_MK) -> Bridge:
    """The bridge that stud webs make: their thickness over their spacing, of steel (50 W/(m·K), ISO 10456)."""
    checks = Checks()
    checks.positive("web_mm", web_mm)
    checks.positive("spacing_mm", spacing_mm)
    checks.done()
    return Bridge(web_mm / spacing_mm, conductivity_w_mk)


@dataclass(frozen=True, slots=True)
class Construction:
    """Layers from inside to outside; `corrections` name layers by index.

    Refused when made: no layers, too many bridged ones, a correction on a layer that is not there or has no resistance, a layer
    bridged by metal without `steel_frame` (the combined method does not hold across metal), or `steel_frame` where not exactly
    one layer is bridged by metal.
    """

    layers: tuple[Layer, ...]
    surfaces: Surfaces = WALL_SURFACES
    corrections: tuple[Correction, ...] = ()
    steel_frame: SteelFrame | None = None

    def __post_init__(self) -> None:
        checks = Checks()
        if not 1 <= len(self.layers) <= MOST_LAYERS:
            checks.add(("layers",), "out_of_range", f"a build-up has 1 to {MOST_LAYERS} layers, not {len(self.layers)}")
        if sum(layer.bridge is not None for layer in self.layers) > MOST_BRIDGED_LAYERS:
            checks.add(("layers",), "out_of_range", f"at most {MOST_BRIDGED_LAYERS} layers may be bridged")
        self._check_metal(checks)
        for at, correction in enumerate(self.corrections):
            if not 0 <= correction.layer < len(self.layers):
                checks.add(("corrections", at, "layer"), "out_of_range", f"there is no layer {correction.layer}")
            elif self.layers[correction.layer].clear_m2k_w == 0:
                checks.add(("corrections", at, "layer"), "method_not_valid", "the corrected layer has no resistance")
        if self.layers and self.clear_m2k_w == 0:
            checks.add(("layers",), "not_positive", "the build-up has no thermal resistance at all")
        checks.done()

    def _check_metal(self, checks: Checks) -> None:
        metal = [at for at, layer in enumerate(self.layers) if layer.bridge is not None and layer.bridge.is_metal]
        if self.steel_frame is None:
            for at in metal:
                checks.add(
                    ("layers", at, "bridge"),
                    "bridged_by_metal",
                    f"layer '{self.layers[at].name}' is bridged by metal, where the combined method of ISO 6946 does not hold: "
                    "count only the insulation that stands clear of the frame, or name the steel frame to use its own method",
                )
        elif len(metal) != 1:
            detail = f"the method for light steel framing needs exactly one layer bridged by metal, not {len(metal)}"
            checks.add(("steel_frame",), "method_not_valid", detail)

    @property
    def clear_m2k_w(self) -> float:
        """Total resistance, surfaces included, of the element without any of its bridges."""
        return math.fsum((self.surfaces.rsi_m2k_w, *(layer.clear_m2k_w for layer in self.layers), self.surfaces.rse_m2k_w))

    def with_thickness(self, at: int, thickness_mm: float) -> "Construction":
        """The same build-up with layer `at` in another thickness."""
        return replace(self, layers=(*self.layers[:at], self.layers[at].of_thickness(thickness_mm), *self.layers[at + 1 :]))

    def without_layer(self, at: int) -> "Construction":
        """The build-up with layer `at` left out; corrections of that layer go with it."""
        if not 0 <= at < len(self.layers):
            raise refuse(("layers",), "out_of_range", f"there is no layer {at} to leave out")
        kept = tuple(_moved(c, at) for c in self.corrections if c.layer != at)
        return replace(self, layers=self.layers[:at] + self.layers[at + 1 :], corrections=kept)


def _moved(correction: Fasteners | AirGaps, gone: int) -> Correction:
    return replace(correction, layer=correction.layer - 1) if correction.layer > gone else correction
