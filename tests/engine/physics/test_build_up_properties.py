"""What must hold for any build-up and any climate."""

import random
from dataclasses import replace

import pytest
from build_up_dice import build_ups, climates, corrected_build_ups, layers, numbers
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.engine.physics.climate import Air, Climate
from service.engine.physics.construction import Construction
from service.engine.physics.corrections import Fasteners
from service.engine.physics.faults import Refused
from service.engine.physics.interstitial import condensation_month, condensation_year
from service.engine.physics.layers import Layer
from service.engine.physics.resistance import lower_limit_m2k_w, paths, upper_limit_m2k_w
from service.engine.physics.surface import plane_factor
from service.engine.physics.u_value import UValue, u_value


def value_of(wall: Construction) -> UValue:
    """With corrections always counted; walls that the combined method refuses are left out."""
    try:
        return u_value(wall, always_correct=True)
    except Refused:
        assume(False)
        raise


@given(build_ups())
def test_the_upper_limit_is_never_below_the_lower(wall: Construction) -> None:
    assert upper_limit_m2k_w(wall) >= lower_limit_m2k_w(wall) * (1 - 1e-12)


@given(build_ups())
def test_the_paths_cover_the_wall_once(wall: Construction) -> None:
    assert sum(path.share for path in paths(wall)) == pytest.approx(1)


@given(corrected_build_ups(), numbers(0, 5), st.integers(0, 5))
def test_adding_a_layer_never_raises_the_transmittance(wall: Construction, resistance: float, place: int) -> None:
    """Neither before corrections nor with corrections always counted, whatever the fasteners."""
    at = min(place, len(wall.layers))
    moved = tuple(replace(c, layer=c.layer + (c.layer >= at)) for c in wall.corrections)
    added = Layer("added", 10, resistance_m2k_w=resistance)
    thicker = Construction((*wall.layers[:at], added, *wall.layers[at:]), corrections=moved)
    before, after = value_of(wall), value_of(thicker)
    assert after.u_value_uncorrected_w_m2k <= before.u_value_uncorrected_w_m2k * (1 + 1e-12)
    assert after.u_value_w_m2k <= before.u_value_w_m2k * (1 + 1e-12)


@given(build_ups(bridged=False), st.integers(0, 4), numbers(1, 3), numbers(0, 0.5))
def test_a_thicker_insulation_never_raises_the_transmittance_while_fasteners_carry_less_than_half_of_it(
    wall: Construction, place: int, times: float, share: float
) -> None:
    """Fasteners that conduct α·λf·Af·nf ≤ λ/2. Beyond that the correction outgrows the insulation, and the formula, which was
    made for a small correction, turns: U = 1/R + K/λ·x/R² falls with x as long as K/λ ≤ 1/2, R and x the resistances."""
    at = min(place, len(wall.layers) - 1)
    conductivity = wall.layers[at].conductivity_w_mk
    assert conductivity is not None
    fasteners = Fasteners(at, 25 * share * conductivity, 1000, 50)  # 0.8 · 50 · 1000e-6 · 25 = 1
    fastened = replace(wall, corrections=(fasteners,))
    thicker = fastened.with_thickness(at, fastened.layers[at].thickness_mm * times)
    before, after = value_of(fastened), value_of(thicker)
    assert after.u_value_uncorrected_w_m2k <= before.u_value_uncorrected_w_m2k * (1 + 1e-12)
    assert after.u_value_w_m2k <= before.u_value_w_m2k * (1 + 1e-12)


@given(corrected_build_ups(), st.randoms(use_true_random=False))
def test_the_order_of_layers_does_not_matter_to_heat(wall: Construction, dice: random.Random) -> None:
    order = list(range(len(wall.layers)))
    dice.shuffle(order)
    shuffled = Construction(
        tuple(wall.layers[at] for at in order),
        corrections=tuple(replace(c, layer=order.index(c.layer)) for c in wall.corrections),
    )
    assert value_of(shuffled).u_value_w_m2k == pytest.approx(value_of(wall).u_value_w_m2k, rel=1e-12)


@given(build_ups(bridged=False), numbers(0.1, 0.9))
def test_cutting_a_layer_in_two_changes_nothing(wall: Construction, share: float) -> None:
    first = wall.layers[0]
    parts = (first.of_thickness(first.thickness_mm * share), first.of_thickness(first.thickness_mm * (1 - share)))
    assert value_of(Construction((*parts, *wall.layers[1:]))).u_value_w_m2k == pytest.approx(value_of(wall).u_value_w_m2k)


@given(build_ups())
def test_the_surface_lies_between_inside_and_outside(wall: Construction) -> None:
    value_of(wall)
    assert 0 < plane_factor(Construction(tuple(replace(layer, bridge=None) for layer in wall.layers))) < 1


@given(
    st.lists(layers(bridged=False), min_size=1, max_size=5),
    st.integers(0, 4),
    st.integers(1, 5),
    numbers(0.05, 100),
    numbers(-20, 28),
    numbers(30, 100),
    numbers(16, 26),
    numbers(20, 100),
)
def test_moving_the_membrane_outwards_never_lowers_the_condensate_while_vapour_drives_outwards(
    wall: list[Layer], place: int, steps: int, sd: float, outside_c: float, outside_rh: float, inside_c: float, inside_rh: float
) -> None:
    """Of one month from dry. Whatever lies inside a membrane that moves out past it takes in more vapour and gives off less."""
    outside, inside = Air(outside_c, outside_rh), Air(inside_c, inside_rh)
    assume(inside.vapour_pressure_pa > outside.vapour_pressure_pa)
    climate = Climate((outside,) * 12, (inside,) * 12)
    at = min(place, len(wall))
    further = min(at + steps, len(wall))
    membrane = Layer("membrane", 0.2, resistance_m2k_w=0, sd_m=sd)
    inner, outer = (
        condensation_month(Construction((*wall[:i], membrane, *wall[i:])), climate, 1).total_held_g_m2 for i in (at, further)
    )
    assert outer >= inner * (1 - 1e-6) - 1e-3


@given(build_ups(bridged=False), numbers(-15, 26), numbers(16, 26), numbers(0, 1))
def test_nothing_condenses_without_a_difference_of_vapour_pressure(
    wall: Construction, outside_c: float, inside_c: float, share: float
) -> None:
    colder = Air(min(outside_c, inside_c), 100 * share)
    pressure = colder.vapour_pressure_pa

    def at(temperature: float) -> Air:
        return Air(temperature, min(100.0, 100 * pressure / Air(temperature, 100).vapour_pressure_pa))

    month = condensation_month(wall, Climate((at(outside_c),) * 12, (at(inside_c),) * 12), 1)
    assert month.total_held_g_m2 == 0
    assert month.inflow_g_m2 == pytest.approx(0, abs=1e-6)


@settings(max_examples=100)
@given(build_ups(bridged=False), climates())
def test_the_water_of_a_year_is_accounted_for(wall: Construction, climate: Climate) -> None:
    year = condensation_year(wall, climate)
    through = sum(abs(m.inflow_g_m2) + abs(m.outflow_g_m2) for m in year.months)
    assert abs(year.balance_g_m2) <= 1e-9 * through + 1e-6
    held = [0.0] * len(year.nodes)
    for month in year.months:
        held = [before + change for before, change in zip(held, month.change_g_m2, strict=True)]
        assert held == pytest.approx(list(month.held_g_m2), abs=1e-6)
        assert min(month.held_g_m2) >= 0
        ceilings = zip(month.pressures_pa[1:-1], month.saturation_pa[1:-1], strict=True)
        assert all(pressure <= saturation + 1e-5 for pressure, saturation in ceilings)
    assert year.dries_out == (sum(held) < 1e-6)
    assert year.condenses == (year.peak_g_m2 > 0)
