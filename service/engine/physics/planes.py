"""Where vapour may condense: the faces of the layers, thick insulation cut into strips, each with its two resistances."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.engine.physics.construction import Construction
from service.engine.physics.faults import PhysicsFault, Refused

STRIP_RESISTANCE_M2K_W = 0.25
"""A layer that resists heat more than this is cut into equal strips that do not (ISO 13788:2012, 6.3; from memory)."""
STRIP_CLAUSE = "ISO 13788:2012, 6.3, layers of more than 0.25 m²·K/W"


@dataclass(frozen=True, slots=True)
class Node:
    """A plane of the build-up, or a surface. `resistance_m2k_w` and `sd_m` are counted from inside: the first from the room air,
    the second from the inside surface. `layer` is the layer on its inner side (None at the inside surface); `strip` of `strips`
    says where in that layer it lies, the last strip being the outer face."""

    name: str
    layer: int | None
    strip: int
    strips: int
    resistance_m2k_w: float
    sd_m: float


def nodes(construction: Construction) -> tuple[Node, ...]:
    """The inside surface, every plane, the outside surface. Heat and vapour go straight through the clear part of bridged layers.

    Refused: layers without a diffusion resistance, all of them named."""
    faults: list[PhysicsFault] = []
    for at, layer in enumerate(construction.layers):
        try:
            _ = layer.vapour_sd_m
        except Refused as refusal:
            faults += refusal.under("layers", at).faults
    if faults:
        raise Refused(faults)
    found = [Node("inside surface", None, 0, 0, construction.surfaces.rsi_m2k_w, 0.0)]
    resistance, sd = construction.surfaces.rsi_m2k_w, 0.0
    last = len(construction.layers) - 1
    for at, layer in enumerate(construction.layers):
        strips = max(1, math.ceil(layer.clear_m2k_w / STRIP_RESISTANCE_M2K_W - 1e-9))
        for strip in range(1, strips + 1):
            if strip < strips:
                name = f"within {layer.name}, {strip}/{strips} from inside"
            elif at < last:
                name = f"between {layer.name} and {construction.layers[at + 1].name}"
            else:
                name = "outside surface"
            share = strip / strips
            found.append(Node(name, at, strip, strips, resistance + layer.clear_m2k_w * share, sd + layer.vapour_sd_m * share))
        resistance, sd = resistance + layer.clear_m2k_w, sd + layer.vapour_sd_m
    return tuple(found)


def temperatures_c(
    found: Sequence[Node], construction: Construction, inside_temperature_c: float, outside_temperature_c: float
) -> tuple[float, ...]:
    """Steady temperature of each node: in proportion to the resistance from inside."""
    total = found[-1].resistance_m2k_w + construction.surfaces.rse_m2k_w
    fall = inside_temperature_c - outside_temperature_c
    return tuple(inside_temperature_c - fall * node.resistance_m2k_w / total for node in found)
