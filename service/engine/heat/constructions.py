"""From a build-up and a wall to what can be calculated: the wall as it was, and as it will be, with what goes through it."""

from dataclasses import dataclass

from service.engine.heat_inputs import BuildUp, BuiltLayer
from service.engine.physics.construction import Construction
from service.engine.physics.corrections import AirGaps, Correction, Fasteners
from service.engine.physics.layers import Layer

INSULATES_BELOW_W_MK = 0.065
"""What conducts less is an insulating material; without a mark, only such a layer is made thicker to reach a target."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """What goes through the insulation: brackets a square metre, each of a section and a conductivity; the level of air gaps."""

    per_m2: float = 0.0
    section_mm2: float = 1.0
    conductivity_w_mk: float = 50.0
    air_gap_level: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """`before` None: nothing stood there. `insulation`, `membrane`: indexes into the layers of `after`; None: there is none."""

    after: Construction
    before: Construction | None
    insulation: int | None
    membrane: int | None
    fibre: bool


def built(build_up: BuildUp, wall: tuple[Layer, ...], through: Through) -> Built:
    """The wall with its build-up. `wall`: its own layers, put where the build-up has the wall.

    Refused: a build-up that its method does not hold for; places are `("layers", index in the whole, …)`."""
    at = build_up.wall_at
    own = tuple(BuiltLayer(layer=layer, existing=True) for layer in wall)
    whole = build_up.layers if at is None else (*build_up.layers[:at], *own, *build_up.layers[at:])
    wall_from = len(whole) if at is None else at
    insulation, membrane = insulation_among(whole), _membrane(whole[:wall_from])
    layers = tuple(one.layer for one in whole)
    old = tuple(one.layer for one in whole if one.existing)
    old_frame = build_up.steel_frame if any(layer.bridge is not None and layer.bridge.is_metal for layer in old) else None
    return Built(
        after=Construction(layers, corrections=_corrections(insulation, through), steel_frame=build_up.steel_frame),
        before=Construction(old, steel_frame=old_frame) if any(layer.clear_m2k_w for layer in old) else None,
        insulation=insulation,
        membrane=membrane,
        fibre=_sheds_fibre(whole, insulation),
    )


def insulation_among(layers: tuple[BuiltLayer, ...]) -> int | None:
    """The marked layer, else the new insulating one that resists most; of equal ones the innermost."""
    for at, one in enumerate(layers):
        if one.insulation:
            return at
    candidates = [
        at
        for at, one in enumerate(layers)
        if not one.existing and one.insulation is None and (one.layer.conductivity_w_mk or 1.0) < INSULATES_BELOW_W_MK
    ]
    return max(candidates, key=lambda at: (layers[at].layer.clear_m2k_w, -at), default=None)


def _membrane(inside_of_wall: tuple[BuiltLayer, ...]) -> int | None:
    """The marked layer, else the new one that resists vapour most and heat not at all; of equal ones the innermost."""
    for at, one in enumerate(inside_of_wall):
        if one.membrane:
            return at
    candidates = [
        at
        for at, one in enumerate(inside_of_wall)
        if not one.existing and one.membrane is None and one.layer.clear_m2k_w == 0 and one.layer.sd_m is not None
    ]
    return max(candidates, key=lambda at: (inside_of_wall[at].layer.sd_m or 0.0, -at), default=None)


def _corrections(insulation: int | None, through: Through) -> tuple[Correction, ...]:
    if insulation is None:
        return ()
    found: list[Correction] = []
    if through.per_m2 > 0:
        found.append(Fasteners(insulation, through.per_m2, through.section_mm2, through.conductivity_w_mk))
    if through.air_gap_level > 0:
        found.append(AirGaps(insulation, through.air_gap_level))
    return tuple(found)


def _sheds_fibre(layers: tuple[BuiltLayer, ...], insulation: int | None) -> bool:
    """Insulation of a material that is not named may be mineral wool."""
    return any(one.fibre for one in layers if not one.existing) or (insulation is not None and layers[insulation].fibre is None)
