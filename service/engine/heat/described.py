"""The build-up that the parameters of a lining describe, for a specification that has none of its own.

Boards, the vapour control layer on the room side of the studs, the air that the frame stands in, insulation behind it, the wall.
Values are those of generic materials; a specification that knows its products gives a build-up with their declared values.
"""

from service.engine.heat_inputs import BuildUp, BuiltLayer
from service.engine.parameters import Parameters
from service.engine.physics.air import MOST_AIR_MM
from service.engine.physics.materials import layer_of

INSULATION = "mineral_wool_035"
MEMBRANE = "polyethylene_0_15"
LEAST_LAYER_MM = 0.001


def described_build_up(p: Parameters, frame_offset_mm: float) -> BuildUp:
    """`frame_offset_mm`: of the wall, masonry to the front of the frame. What the insulation does not fill of it is air."""
    layers = [
        BuiltLayer(layer=layer_of("plasterboard", p.lining_thickness_mm)),
        BuiltLayer(layer=layer_of(MEMBRANE), membrane=True),
    ]
    air = frame_offset_mm - p.insulation_thickness_mm
    if air >= LEAST_LAYER_MM:
        layers.append(BuiltLayer(layer=layer_of("air_layer", min(air, MOST_AIR_MM), name="Air around the frame")))
    if p.insulation_thickness_mm >= LEAST_LAYER_MM:
        layers.append(BuiltLayer(layer=layer_of(INSULATION, p.insulation_thickness_mm), insulation=True, fibre=True))
    return BuildUp(layers=tuple(layers), wall_at=len(layers))
