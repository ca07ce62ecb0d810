"""Total thermal resistance of a build-up: the upper and the lower limit and what lies between (ISO 6946:2017, 6.7.2).

Bridges of different layers are taken to cross at random, so the paths are every combination of clear part and bridge.
"""

import math
from dataclasses import dataclass
from itertools import product

from service.engine.physics.construction import Construction, SteelFrame
from service.engine.physics.faults import refuse

TOTAL_CLAUSE = "ISO 6946:2017, 6.7.1"
UPPER_CLAUSE = "ISO 6946:2017, 6.7.2.3"
LOWER_CLAUSE = "ISO 6946:2017, 6.7.2.4"
COMBINED_CLAUSE = "ISO 6946:2017, 6.7.2.2"
ERROR_CLAUSE = "ISO 6946:2017, 6.7.2.5"
LIGHT_STEEL_CLAUSE = "BRE Digest 465 (2002), light steel framing (from memory)"
MOST_LIMITS_RATIO = 1.5


@dataclass(frozen=True, slots=True)
class Path:
    """One straight way through the build-up: for each bridged layer, whether it goes along the bridge."""

    along_bridge: dict[int, bool]
    share: float
    resistance_m2k_w: float


def paths(construction: Construction) -> tuple[Path, ...]:
    """Every path with its share of the area, clear parts first; shares add up to 1."""
    layers, surfaces = construction.layers, construction.surfaces
    bridged = [at for at, layer in enumerate(layers) if layer.bridge is not None]
    found = []
    for choice in product((False, True), repeat=len(bridged)):
        along = dict(zip(bridged, choice, strict=True))
        share = 1.0
        for at, on_bridge in along.items():
            bridge = layers[at].bridge
            assert bridge is not None
            share *= bridge.fraction if on_bridge else 1 - bridge.fraction
        through = (layer.bridge_m2k_w if along.get(at) else layer.clear_m2k_w for at, layer in enumerate(layers))
        found.append(Path(along, share, math.fsum((surfaces.rsi_m2k_w, *through, surfaces.rse_m2k_w))))
    return tuple(found)


def upper_limit_m2k_w(construction: Construction) -> float:
    """R′T: the paths side by side, no heat flowing from one to another."""
    return 1 / math.fsum(path.share / path.resistance_m2k_w for path in paths(construction))


def mean_layer_m2k_w(construction: Construction, at: int) -> float:
    """Resistance of layer `at` with its clear part and its bridge side by side."""
    layer = construction.layers[at]
    if layer.bridge is None:
        return layer.clear_m2k_w
    return 1 / ((1 - layer.bridge.fraction) / layer.clear_m2k_w + layer.bridge.fraction / layer.bridge_m2k_w)


def lower_limit_m2k_w(construction: Construction) -> float:
    """R″T: every plane at one temperature, so each layer is averaged, then the layers are added."""
    means = (mean_layer_m2k_w(construction, at) for at in range(len(construction.layers)))
    return math.fsum((construction.surfaces.rsi_m2k_w, *means, construction.surfaces.rse_m2k_w))


def light_steel_share(frame: SteelFrame, upper_m2k_w: float, lower_m2k_w: float) -> float:
    """p of the published method for light steel framing, for studs within the insulation:
    p = 0.8·Rmin/Rmax + 0.44 − 0.1·w/40 − 0.2·600/s − 0.04·d/100, lengths in mm.

    Refused where p leaves 0 to 1: the frame is not one the method was made for."""
    share = (
        0.8 * lower_m2k_w / upper_m2k_w
        + 0.44
        - 0.1 * frame.flange_mm / 40
        - 0.2 * 600 / frame.spacing_mm
        - 0.04 * frame.depth_mm / 100
    )
    if not 0 <= share <= 1:
        detail = f"the method for light steel framing gives p = {share:.3f} for this frame, outside 0 to 1, so it does not apply"
        raise refuse(("steel_frame",), "method_not_valid", detail)
    return share


def between(construction: Construction, upper_m2k_w: float, lower_m2k_w: float) -> float:
    """RT from its limits: their mean, or weighted by p where studs of light steel stand in the insulation.

    Refused where the upper limit is more than 1.5 times the lower: the combined method's error would be too large."""
    if construction.steel_frame is not None:
        share = light_steel_share(construction.steel_frame, upper_m2k_w, lower_m2k_w)
        return share * upper_m2k_w + (1 - share) * lower_m2k_w
    if upper_m2k_w > MOST_LIMITS_RATIO * lower_m2k_w:
        detail = (
            f"the limits {upper_m2k_w:.3f} and {lower_m2k_w:.3f} m²·K/W lie further apart than 1.5 to 1, where the combined "
            "method of ISO 6946 does not hold: the element needs a detailed calculation (ISO 10211)"
        )
        raise refuse(("layers",), "limits_too_far_apart", detail)
    return (upper_m2k_w + lower_m2k_w) / 2
