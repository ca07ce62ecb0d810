"""The working shown: each formula, with the inputs beside it put in, must give the value beside it."""

import math
from collections.abc import Sequence

import pytest
from build_up_dice import build_ups, climates, corrected_build_ups
from hypothesis import assume, given, settings

from service.engine.physics.climate import Air, Climate, inside_by_class, inside_by_class_steps
from service.engine.physics.construction import Construction, SteelFrame, steel_bridge
from service.engine.physics.corrections import Fasteners
from service.engine.physics.faults import Refused
from service.engine.physics.heat_loss import Area, heat_loss, heat_loss_steps
from service.engine.physics.interstitial import condensation_year
from service.engine.physics.interstitial_steps import condensation_steps
from service.engine.physics.layers import Layer
from service.engine.physics.steps import Step
from service.engine.physics.surface import surface_check, surface_check_steps
from service.engine.physics.target import missing_resistance_m2k_w, missing_resistance_steps
from service.engine.physics.u_value import u_value
from service.engine.physics.u_value_steps import u_value_steps


def follow(steps: Sequence[Step]) -> float:
    """Works every step out on its own and gives the last value."""
    assert steps
    for step in steps:
        arithmetic = step.formula.replace("·", "*").replace("−", "-").replace("²", "**2")
        names = {q.symbol: q.value for q in step.inputs} | {"exp": math.exp, "ln": math.log, "max": max, "min": min}
        worked = eval(arithmetic, {"__builtins__": {}}, names)  # our own formulas, no names but those given
        assert worked == pytest.approx(step.value, rel=1e-9, abs=1e-6), step.line()
        assert step.about and step.clause
        assert step.clause in step.line() and step.formula in step.line()
    return steps[-1].value


@given(corrected_build_ups())
def test_a_transmittance_can_be_followed(wall: Construction) -> None:
    try:
        result = u_value(wall)
    except Refused:
        assume(False)
        raise
    assert follow(u_value_steps(wall, result)) == result.u_value_w_m2k


def test_a_transmittance_of_light_steel_framing_can_be_followed() -> None:
    board = Layer("plasterboard", 12.5, 0.25)
    wool = Layer("wool", 70, 0.035, bridge=steel_bridge(0.6, 600))
    recessed = Fasteners(1, 4, 20, 50, penetration_mm=30)
    plastic = Fasteners(1, 4, 20, 0.5)
    wall = Construction((board, wool, board), corrections=(recessed, plastic), steel_frame=SteelFrame(40, 600, 70))
    result = u_value(wall)
    steps = u_value_steps(wall, result)
    assert follow(steps) == result.u_value_w_m2k
    assert any(step.symbol == "p" for step in steps)


def test_a_line_of_working_reads_as_it_is_written_on_paper() -> None:
    wall = Construction((Layer("render", 13, 0.57, source="a list"),))
    steps = u_value_steps(wall, u_value(wall))
    assert steps[2].line() == (
        "layer 1, render: R_1 = d_1 / λ_1 = 0.022807 m²·K/W with d_1 = 0.013 m, λ_1 = 0.57 W/(m·K) (ISO 6946:2017, 6.7.1; a list)"
    )


@settings(max_examples=60)
@given(build_ups(bridged=False), climates())
def test_a_year_of_condensation_can_be_followed(wall: Construction, climate: Climate) -> None:
    year = condensation_year(wall, climate)
    steps = condensation_steps(wall, climate, year)
    last = follow(steps)
    if year.condenses:
        assert year.peak_g_m2 == pytest.approx(sum(_held_at_the_peak(steps, year.peak_month)), abs=1e-3)
    elif len(year.nodes) > 2:
        assert last < saturation_shown(steps)


def _held_at_the_peak(steps: Sequence[Step], month: int | None) -> list[float]:
    """The last amount written for each plane of that month."""
    return list(
        {s.about: s.value for s in steps if s.about.startswith(f"month {month},") and s.about.endswith("water held")}.values()
    )


def saturation_shown(steps: Sequence[Step]) -> float:
    return next(s.value for s in reversed(steps) if s.symbol == "psat")


@settings(max_examples=60)
@given(build_ups(bridged=False), climates())
def test_the_surface_check_can_be_followed(wall: Construction, climate: Climate) -> None:
    check = surface_check(wall, climate)
    follow(surface_check_steps(wall, climate, check))


def test_inside_air_targets_and_heat_loss_can_be_followed() -> None:
    outside = tuple(Air(t, 80) for t in range(-5, 19, 2))
    steps = inside_by_class_steps(outside, 3, 1.1)
    follow(steps)
    inside = inside_by_class(outside, 3, 20, 1.1)
    assert [s.value for s in steps if s.symbol == "pi"] == pytest.approx([air.vapour_pressure_pa for air in inside])
    assert follow(missing_resistance_steps(2.1, 0.3)) == missing_resistance_m2k_w(2.1, 0.3)
    areas = [Area("one", 10, 2.1, 0.3), Area("two", 5, 1.7, 0.3)]
    assert follow(heat_loss_steps(areas)) == heat_loss(areas).after_w_k
