"""What the engine is given on heat and moisture: the build-up, its target, the climate, what is known of the house.

Everything here is resolved: materials are layers with their numbers, a humidity class is twelve inside values.
"""

from dataclasses import dataclass

from service.engine.physics.climate import Climate
from service.engine.physics.construction import SteelFrame
from service.engine.physics.layers import Layer


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltLayer:
    """A layer of a build-up. `existing`: there before the work. `membrane`: the vapour control layer; `insulation`: the layer
    whose thickness is to reach the target; None: found by rule. `fibre`: whether it sheds mineral fibres, None where not known.
    """

    layer: Layer
    existing: bool = False
    membrane: bool | None = None
    insulation: bool | None = None
    fibre: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WallMaterial:
    """What a wall is made of where that is known better than by its substrate's word."""

    name: str
    conductivity_w_mk: float
    mu: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUp:
    """`layers` from inside to outside. `wall_at`: the wall's own layers go before `layers[wall_at]`; None: no wall is in it.

    `wall_material`: instead of what the wall's substrate stands for. `steel_frame`: the studs that bridge one of the layers.
    """

    layers: tuple[BuiltLayer, ...]
    wall_at: int | None
    wall_material: WallMaterial | None = None
    steel_frame: SteelFrame | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatInputs:
    """`build_up` None: the one that the lining's parameters describe. Target in W/(m²·K). `critical_temperature_factor`: least
    fRsi that is asked for beside what the months ask. `climate` None: moisture is not followed; `humidity_class`:
    where its inside air comes from one. `year_built` None: not known."""

    build_up: BuildUp | None = None
    target_u_value_w_m2k: float | None = None
    critical_temperature_factor: float | None = None
    climate: Climate | None = None
    humidity_class: int | None = None
    year_built: int | None = None


NOTHING_ASKED = HeatInputs()
"""No build-up, target or climate of its own."""
