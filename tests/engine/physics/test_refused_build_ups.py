"""What is refused, with the place and the reason."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from service.engine.physics.air import Surfaces, air_layer
from service.engine.physics.climate import Air, Climate, inside_by_class
from service.engine.physics.construction import Construction, SteelFrame, steel_bridge
from service.engine.physics.corrections import AirGaps, Fasteners
from service.engine.physics.faults import Refused
from service.engine.physics.heat_loss import Area
from service.engine.physics.interstitial import compare_membrane, condensation_year
from service.engine.physics.layers import Bridge, Layer
from service.engine.physics.materials import layer_of
from service.engine.physics.resistance import light_steel_share
from service.engine.physics.surface import factor_from_temperatures, surface_check
from service.engine.physics.vapour import class_excess_pa, dew_point_c, saturation_pressure_pa

BOARD = Layer("plasterboard", 12.5, 0.25, mu=10)
STEEL_WOOL = Layer("wool between steel studs", 70, 0.035, bridge=steel_bridge(0.6, 600))
YEAR = (Air(10, 80),) * 12

CASES: list[tuple[str, Callable[[], Any], tuple[str | int, ...], str]] = [
    ("zero conductivity", lambda: Layer("x", 10, 0.0), ("conductivity_w_mk",), "not_positive"),
    ("conductivity not a number", lambda: Layer("x", 10, math.nan), ("conductivity_w_mk",), "not_finite"),
    ("zero thickness", lambda: Layer("x", 0, 0.1), ("thickness_mm",), "not_positive"),
    ("endless thickness", lambda: Layer("x", math.inf, 0.1), ("thickness_mm",), "not_finite"),
    ("nothing to resist", lambda: Layer("x", 10), ("conductivity_w_mk",), "missing"),
    ("both to resist", lambda: Layer("x", 10, 0.1, 0.2), ("resistance_m2k_w",), "both_given"),
    ("less than no resistance", lambda: Layer("x", 10, resistance_m2k_w=-0.1), ("resistance_m2k_w",), "out_of_range"),
    ("both for vapour", lambda: Layer("x", 10, 0.1, mu=1, sd_m=1), ("sd_m",), "both_given"),
    ("no vapour thickness", lambda: Layer("x", 10, 0.1, sd_m=0), ("sd_m",), "not_positive"),
    ("bridge over the whole", lambda: Bridge(1.1, 0.13), ("fraction",), "out_of_range"),
    ("bridge of less than none", lambda: Bridge(-0.1, 0.13), ("fraction",), "out_of_range"),
    ("bridge of nothing", lambda: Layer("x", 10, resistance_m2k_w=0, bridge=Bridge(0.1, 0.1)), ("bridge",), "nothing_to_bridge"),
    ("steel in insulation", lambda: Construction((BOARD, STEEL_WOOL)), ("layers", 1, "bridge"), "bridged_by_metal"),
    (
        "frame without steel",
        lambda: Construction((BOARD,), steel_frame=SteelFrame(40, 600, 70)),
        ("steel_frame",),
        "method_not_valid",
    ),
    (
        "frame outside its method",
        lambda: light_steel_share(SteelFrame(40, 100, 70), 2.5, 1.0),
        ("steel_frame",),
        "method_not_valid",
    ),
    ("no layers", lambda: Construction(()), ("layers",), "out_of_range"),
    (
        "correction of no layer",
        lambda: Construction((BOARD,), corrections=(AirGaps(3, 1),)),
        ("corrections", 0, "layer"),
        "out_of_range",
    ),
    ("gaps of level 3", lambda: AirGaps(0, 3), ("level",), "out_of_range"),
    ("fasteners without size", lambda: Fasteners(0, 4, 0, 50), ("area_mm2",), "not_positive"),
    (
        "fasteners between sheets",
        lambda: Fasteners(0, 4, 10, 50, joins_metal_sheets=True),
        ("joins_metal_sheets",),
        "method_not_valid",
    ),
    ("surface of less than none", lambda: Surfaces(-0.1, 0.04), ("rsi_m2k_w",), "out_of_range"),
    ("air layer of a room's depth", lambda: air_layer("x", 400), ("thickness_mm",), "out_of_range"),
    ("emissivity over one", lambda: air_layer("x", 40, emissivity_one=1.2), ("emissivity_one",), "out_of_range"),
    ("eleven months", lambda: Climate(YEAR[:11], YEAR), ("outside",), "not_twelve_months"),
    ("thirteen months", lambda: Climate(YEAR, (*YEAR, YEAR[0])), ("inside",), "not_twelve_months"),
    ("110 % humidity", lambda: Air(10, 110), ("humidity_percent",), "out_of_range"),
    ("kelvin for celsius", lambda: Air(283, 80), ("temperature_c",), "out_of_range"),
    ("class 5", lambda: class_excess_pa(5, 0), ("humidity_class",), "class_without_limit"),
    ("class 0", lambda: class_excess_pa(0, 0), ("humidity_class",), "out_of_range"),
    ("three inside temperatures", lambda: inside_by_class(YEAR, 3, [20, 20, 20]), ("inside_temperature_c",), "not_twelve_months"),
    ("inside in kelvin", lambda: inside_by_class(YEAR, 3, [20] * 11 + [293]), ("inside_temperature_c", 11), "out_of_range"),
    ("margin below one", lambda: inside_by_class(YEAR, 3, 20, 0.9), ("safety_margin",), "out_of_range"),
    ("too hot for the formula", lambda: saturation_pressure_pa(200), ("temperature_c",), "out_of_range"),
    ("dew point of dry air", lambda: dew_point_c(0), ("pressure_pa",), "not_positive"),
    ("factor without difference", lambda: factor_from_temperatures(20, 20, 20), ("inside_c",), "no_temperature_difference"),
    (
        "critical factor over one",
        lambda: surface_check(Construction((BOARD,)), Climate(YEAR, YEAR), 1.5),
        ("critical_factor",),
        "out_of_range",
    ),
    (
        "vapour through the unknown",
        lambda: condensation_year(Construction((BOARD, Layer("brick", 220, 0.77))), Climate(YEAR, YEAR)),
        ("layers", 1, "mu"),
        "missing",
    ),
    (
        "membrane that is not there",
        lambda: compare_membrane(Construction((BOARD,)), 4, Climate(YEAR, YEAR)),
        ("layers",),
        "out_of_range",
    ),
    ("negative area", lambda: Area("x", -1, 1, 1), ("area_m2",), "out_of_range"),
    ("unknown material", lambda: layer_of("moonstone", 10), ("material_id",), "unknown_material"),
    ("product without its value", lambda: layer_of("mineral_wool", 50), ("conductivity_w_mk",), "missing"),
    ("material without thickness", lambda: layer_of("brick_outer"), ("thickness_mm",), "missing"),
]


@pytest.mark.parametrize(("make", "where", "code"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_bad_input_is_refused_with_its_place_and_reason(make: Callable[[], Any], where: tuple[str | int, ...], code: str) -> None:
    with pytest.raises(Refused) as refusal:
        make()
    assert [(f.where, f.code) for f in refusal.value.faults] == [(where, code)]
    assert len(str(refusal.value)) > 15


def test_all_faults_of_a_layer_are_told_at_once_and_can_be_seen_from_the_whole() -> None:
    with pytest.raises(Refused) as refusal:
        Layer("x", 0, -1, mu=0)
    assert [f.where for f in refusal.value.under("layers", 2).faults] == [
        ("layers", 2, "thickness_mm"),
        ("layers", 2, "conductivity_w_mk"),
        ("layers", 2, "mu"),
    ]


def test_steel_across_insulation_is_refused_with_what_to_do_instead() -> None:
    with pytest.raises(Refused, match="clear of the frame"):
        Construction((BOARD, STEEL_WOOL))
    assert Construction((BOARD, STEEL_WOOL), steel_frame=SteelFrame(40, 600, 70)).steel_frame is not None


def test_leaving_a_layer_out_keeps_corrections_on_their_layers() -> None:
    wall = Construction(
        (BOARD, Layer("film", 0.2, resistance_m2k_w=0, sd_m=50), Layer("wool", 50, 0.035, mu=1)), corrections=(AirGaps(2, 1),)
    )
    bare = wall.without_layer(1)
    assert [layer.name for layer in bare.layers] == ["plasterboard", "wool"]
    assert bare.corrections == (AirGaps(1, 1),)
    assert wall.without_layer(2).corrections == ()
