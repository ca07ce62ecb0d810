"""What a surveyed wall is made of, as layers from inside to outside. Design values of generic materials; see `physics.materials`.

A substrate is a word, not a survey of the wall: where the word says little, the layers are on the side of more heat lost, and
`assumed` says what was taken. Marks: CP common practice, no published source; D a decision of this project.
"""

from service.engine.heat_inputs import WallMaterial
from service.engine.physics.air import MOST_AIR_MM, air_layer
from service.engine.physics.faults import refuse
from service.engine.physics.layers import MOST_THICKNESS_MM, Bridge, Layer
from service.engine.physics.materials import layer_of
from service.vocabulary import Substrate

LEAF_MM = 102.5
"""A half-brick leaf (CP, United Kingdom)."""
LEAST_CAVITY_MM = 20.0
"""A cavity wall too thin for two leaves and this is taken as solid brickwork (D)."""
BOARDING_MM = 18.0
"""Softwood boarding outside a timber frame (D)."""
TIMBER_SHARE = 0.15
"""Share of timber in a framed wall: the convention of BR 443, from memory."""
SOFTWOOD_W_MK = 0.13

_ONE_MATERIAL = {
    Substrate.SOLID_BRICK: "brick_outer",
    Substrate.STONE: "sandstone",
    Substrate.CONCRETE_BLOCK: "concrete_2000",
    Substrate.DENSE_CONCRETE: "concrete_2400",
    Substrate.OTHER: "brick_outer",
}


def wall_layers(substrate: Substrate, thickness_mm: float, material: WallMaterial | None) -> tuple[tuple[Layer, ...], str | None]:
    """The layers of a wall, and in words what had to be assumed (None: nothing beyond the substrate's design value).

    Refused: a wall thicker than the method's layers may be."""
    if thickness_mm > MOST_THICKNESS_MM:
        raise refuse(("thickness_mm",), "out_of_range", f"A wall of {thickness_mm:g} mm is thicker than {MOST_THICKNESS_MM:g} mm")
    if material is not None:
        layer = Layer(material.name, thickness_mm, material.conductivity_w_mk, mu=material.mu, source=material.source)
        return (layer,), None
    if substrate is Substrate.CAVITY_BRICK:
        return _cavity(thickness_mm)
    if substrate is Substrate.TIMBER_FRAME:
        return _timber_frame(thickness_mm), "a timber frame without insulation in it, behind softwood boarding"
    layers = (layer_of(_ONE_MATERIAL[substrate], thickness_mm, wet=True),)
    return layers, "brickwork throughout, since the wall's material is not known" if substrate is Substrate.OTHER else None


def _cavity(thickness_mm: float) -> tuple[tuple[Layer, ...], str | None]:
    cavity = thickness_mm - 2 * LEAF_MM
    if cavity < LEAST_CAVITY_MM:
        return (layer_of("brick_outer", thickness_mm, wet=True),), "solid brickwork: too thin for two leaves and a cavity"
    air = air_layer("Unventilated cavity", min(cavity, MOST_AIR_MM))
    return (layer_of("brick_inner", LEAF_MM, wet=True), air, layer_of("brick_outer", LEAF_MM, wet=True)), None


def _timber_frame(thickness_mm: float) -> tuple[Layer, ...]:
    depth = thickness_mm - BOARDING_MM
    boarding = layer_of("softwood", min(BOARDING_MM, thickness_mm), wet=True)
    if depth <= 0:
        return (boarding,)
    air = air_layer("Air between timber studs", min(depth, MOST_AIR_MM))
    bridged = Layer(
        air.name, air.thickness_mm, resistance_m2k_w=air.resistance_m2k_w, bridge=Bridge(TIMBER_SHARE, SOFTWOOD_W_MK),
        sd_m=air.sd_m, source=air.source,
    )  # fmt: skip
    return (bridged, boarding)
