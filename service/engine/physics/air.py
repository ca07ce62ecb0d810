"""Surface resistances and air layers (ISO 6946:2017, clauses 6.8 and 6.9, Annex D).

The tables are from memory; 0.13, 0.04 and the plateau 0.18 were seen in public teaching material, and the formula of the annex
gives every row of the air-layer table again.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass

from service.engine.physics.faults import Checks
from service.engine.physics.layers import Layer
from service.vocabulary import HeatFlow

SURFACE_CLAUSE = "ISO 6946:2017, 6.8, Table 7"
AIR_CLAUSE = "ISO 6946:2017, 6.9.2, Table 8"
AIR_FORMULA_CLAUSE = "ISO 6946:2017, Annex D"
AIR_LAYER_SD_M = 0.01
"""Diffusion-equivalent thickness of an unventilated air layer, whatever its thickness (ISO 13788:2012, clause 4; from memory)."""
MOST_AIR_MM = 300.0
HIGH_EMISSIVITY = 0.8

_STEFAN_BOLTZMANN = 5.670374419e-8
_RSI = {HeatFlow.HORIZONTAL: 0.13, HeatFlow.UP: 0.10, HeatFlow.DOWN: 0.17}
_RSE = 0.04

_TABLE: dict[HeatFlow, tuple[tuple[float, float], ...]] = {
    HeatFlow.HORIZONTAL: ((0, 0.0), (5, 0.11), (7, 0.13), (10, 0.15), (15, 0.17), (25, 0.18), (300, 0.18)),
    HeatFlow.UP: ((0, 0.0), (5, 0.11), (7, 0.13), (10, 0.15), (15, 0.16), (25, 0.16), (300, 0.16)),
    HeatFlow.DOWN: (
        (0, 0.0),
        (5, 0.11),
        (7, 0.13),
        (10, 0.15),
        (15, 0.17),
        (25, 0.19),
        (50, 0.21),
        (100, 0.22),
        (300, 0.23),
    ),
}


@dataclass(frozen=True, slots=True)
class Surfaces:
    """Resistance of the inside and the outside surface, m²·K/W; zero is allowed, for a bare slab."""

    rsi_m2k_w: float
    rse_m2k_w: float

    def __post_init__(self) -> None:
        checks = Checks()
        checks.within("rsi_m2k_w", self.rsi_m2k_w, 0, 10)
        checks.within("rse_m2k_w", self.rse_m2k_w, 0, 10)
        checks.done()


def surface_resistances(heat_flow: HeatFlow, sheltered: bool = False) -> Surfaces:
    """The standard's conventional values. `sheltered`: behind a well-ventilated air layer, whose cladding is then left out of the
    layers; the outside surface takes the inside value. Walls are horizontal heat flow (within 30° of the horizontal)."""
    rsi = _RSI[heat_flow]
    return Surfaces(rsi, rsi if sheltered else _RSE)


WALL_SURFACES = surface_resistances(HeatFlow.HORIZONTAL)


def air_layer_table_m2k_w(thickness_mm: float, heat_flow: HeatFlow) -> float:
    """Resistance of an unventilated air layer between surfaces of high emissivity, linear between the rows of the table."""
    rows = _TABLE[heat_flow]
    at = min(bisect_right([t for t, _ in rows], thickness_mm), len(rows) - 1)
    (t0, r0), (t1, r1) = rows[at - 1], rows[at]
    return r0 + (r1 - r0) * (thickness_mm - t0) / (t1 - t0)


def air_layer_formula_m2k_w(
    thickness_mm: float, heat_flow: HeatFlow, emissivity_one: float, emissivity_two: float, mean_temperature_c: float = 10.0
) -> float:
    """Resistance by conduction, convection and radiation, for a temperature difference of at most 5 K across the layer:
    R = 1 / (max(hc, 0.025/d) + E·4·σ·T³), E = 1 / (1/ε₁ + 1/ε₂ − 1), with hc 1.25 horizontal, 1.95 up, 0.12·d^−0.44 down."""
    thickness_m = thickness_mm / 1000
    downwards = 0.12 * math.pow(thickness_m, -0.44)
    convection = {HeatFlow.HORIZONTAL: 1.25, HeatFlow.UP: 1.95, HeatFlow.DOWN: downwards}[heat_flow]
    between = 1 / (1 / emissivity_one + 1 / emissivity_two - 1)
    radiation = between * 4 * _STEFAN_BOLTZMANN * math.pow(mean_temperature_c + 273.15, 3)
    return 1 / (max(convection, 0.025 / thickness_m) + radiation)


def air_layer(
    name: str,
    thickness_mm: float,
    heat_flow: HeatFlow = HeatFlow.HORIZONTAL,
    emissivity_one: float = 0.9,
    emissivity_two: float = 0.9,
) -> Layer:
    """An unventilated layer, at most 300 mm: by the table where both faces have an emissivity of 0.8 or more, else by formula.

    Refused: a thickness outside 0 to 300 mm (wider is a space of its own), an emissivity outside 0 to 1."""
    checks = Checks()
    checks.positive("thickness_mm", thickness_mm, MOST_AIR_MM)
    checks.positive("emissivity_one", emissivity_one, 1)
    checks.positive("emissivity_two", emissivity_two, 1)
    checks.done()
    if min(emissivity_one, emissivity_two) >= HIGH_EMISSIVITY:
        resistance, source = air_layer_table_m2k_w(thickness_mm, heat_flow), AIR_CLAUSE
    else:
        resistance = air_layer_formula_m2k_w(thickness_mm, heat_flow, emissivity_one, emissivity_two)
        source = AIR_FORMULA_CLAUSE
    return Layer(name, thickness_mm, resistance_m2k_w=resistance, sd_m=AIR_LAYER_SD_M, source=source)


def slightly_ventilated_m2k_w(openings_mm2_per_m: float, unventilated_m2k_w: float, well_ventilated_m2k_w: float) -> float:
    """Total resistance of an element with an air layer whose openings lie between 500 and 1500 mm² per metre of length: linear
    between the total with the layer closed (500) and with it well ventilated (1500). Outside that span, the nearer of the two.
    ISO 6946:2017, 6.9.3 (from memory)."""
    share = min(1.0, max(0.0, (openings_mm2_per_m - 500) / 1000))
    return (1 - share) * unventilated_m2k_w + share * well_ventilated_m2k_w
