"""Temperature factors and the monthly check of the inside surface."""

import pytest

from service.engine.physics.climate import Air, Climate
from service.engine.physics.construction import Construction
from service.engine.physics.corrections import Fasteners
from service.engine.physics.layers import Layer
from service.engine.physics.surface import factor_from_temperatures, plane_factor, surface_check, temperature_factor


def test_the_worked_factor_of_the_spanish_guidance_is_met() -> None:
    """Spanish guidance DA DB-HE/2, example 6.1.9: 15.3 inside surface, 10.4 outside, 20 inside: 4.9/9.6 = 0.51."""
    assert factor_from_temperatures(15.3, 10.4, 20) == pytest.approx(0.51, abs=0.005)


@pytest.mark.parametrize(
    ("u", "at_025", "at_013"),
    [(2.1, 0.475, 0.727), (1.7, 0.575, 0.779), (0.7, 0.825, 0.909), (0.45, 0.888, 0.942), (0.3, 0.925, 0.961)],
)
def test_factors_of_plane_elements_follow_from_their_transmittance(u: float, at_025: float, at_013: float) -> None:
    """1 − U·Rsi by hand, to three decimals."""
    assert temperature_factor(u, 0.25) == pytest.approx(at_025, abs=6e-4)
    assert temperature_factor(u, 0.13) == pytest.approx(at_013, abs=6e-4)


# Without its surfaces 0.22/0.77 + 0.013/0.57 = 0.30852; with 0.25 and 0.04: 0.59852, fRsi = 1 − 0.25/0.59852 = 0.58230.
WALL = Construction((Layer("plaster", 13, 0.57), Layer("brick", 220, 0.77)))


def test_the_factor_of_a_build_up_uses_the_surface_resistance_of_this_check() -> None:
    assert plane_factor(WALL) == pytest.approx(0.58230, abs=1e-5)


def test_the_factor_counts_even_corrections_that_a_transmittance_may_leave_out() -> None:
    """Insulation 1.42857 of 2.5, of 2.62 with Rsi 0.25. ΔU = 0.04 · 4/5 · (1.42857/2.62)² = 0.0095139, below 3 % of
    1/2.62 = 0.381679; fRsi = 1 − 0.25 · 0.391193 = 0.902202."""
    rest = Layer("the rest", 100, resistance_m2k_w=2.5 - 0.17 - 0.05 / 0.035)
    wall = Construction((Layer("insulation", 50, 0.035), rest), corrections=(Fasteners(0, 4, 10, 50),))
    assert plane_factor(wall) == pytest.approx(0.902202, abs=1e-6)


def test_the_coldest_month_is_critical_and_its_surface_is_too_damp() -> None:
    """January 0 °C outside, 20 °C and 50 % inside: surface 11.646 °C, psat 1369.1, humidity 85.35 %; 80 % would need 12.625 °C, a
    factor of 0.63126. The other months, at 15 °C: (12.625 − 15)/5 < 0, nothing asked for."""
    climate = Climate((Air(0, 90), *[Air(15, 70)] * 11), (Air(20, 50),) * 12)
    check = surface_check(WALL, climate, critical_factor=0.5)
    assert check.critical_month == 1
    january = check.months[0]
    assert january.surface_temperature_c == pytest.approx(11.646, abs=1e-3)
    assert january.surface_humidity_percent == pytest.approx(85.35, abs=0.05)
    assert january.least_surface_temperature_c == pytest.approx(12.625, abs=1e-3)
    assert check.required_factor == pytest.approx(0.63126, abs=1e-4)
    assert not check.factor_reached
    assert not january.humidity_kept
    assert check.months[1].humidity_kept
    assert check.critical_reached is True
    assert surface_check(WALL, climate, critical_factor=0.75).critical_reached is False
    assert surface_check(WALL, climate).critical_reached is None


def test_a_month_as_warm_outside_as_inside_asks_for_no_factor() -> None:
    check = surface_check(WALL, Climate((Air(20, 60),) * 12, (Air(20, 50),) * 12))
    assert check.required_factor is None
    assert check.critical_month is None
    assert check.factor_reached
