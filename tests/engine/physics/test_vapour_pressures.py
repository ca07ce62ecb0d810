"""Saturation pressure and dew point against two general libraries and published figures; inside air by humidity class."""

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from service.engine.physics.climate import Air, inside_by_class
from service.engine.physics.faults import Refused
from service.engine.physics.vapour import class_excess_pa, dew_point_c, saturation_pressure_pa, vapour_pressure_pa

psychrolib.SetUnitSystem(psychrolib.SI)
# The libraries agree with the standard's formula to 0.15 % above 0 °C and 0.6 % down to −20 °C, its own inexactness.
ABOVE, BELOW = 2e-3, 6e-3


@pytest.mark.parametrize("tenths", range(-200, 401, 25))
def test_saturation_pressure_agrees_with_a_psychrometric_library(tenths: int) -> None:
    temperature = tenths / 10
    expected = psychrolib.GetSatVapPres(temperature)
    assert saturation_pressure_pa(temperature) == pytest.approx(expected, rel=ABOVE if temperature >= 0 else BELOW)


@pytest.mark.parametrize("tenths", range(5, 401, 25))
def test_saturation_pressure_agrees_with_a_library_of_fluid_properties(tenths: int) -> None:
    """Pure water on its saturation line, above the triple point only."""
    expected = PropsSI("P", "T", tenths / 10 + 273.15, "Q", 1, "Water")
    assert saturation_pressure_pa(tenths / 10) == pytest.approx(expected, rel=ABOVE)


@pytest.mark.parametrize(
    ("temperature", "formula"),
    [
        *((-20, 102.740), (-10, 259.333), (-5, 401.181), (0, 610.500), (5, 871.865), (10, 1227.310)),
        *((12.6, 1458.238), (15, 1704.407), (20, 2336.951), (25, 3165.920), (30, 4240.505)),
    ],
)
def test_saturation_pressure_gives_the_values_of_the_formula_worked_apart(temperature: float, formula: float) -> None:
    """The standard's formula (from memory) put into a pocket calculator, to three decimals."""
    assert saturation_pressure_pa(temperature) == pytest.approx(formula, abs=6e-4)


@pytest.mark.parametrize(("temperature", "published"), [(-20, 103.5), (-19, 113.9), (-18, 125.2), (31, 4492), (32, 4755)])
def test_saturation_pressure_is_near_the_danish_table(temperature: float, published: float) -> None:
    """Danish moisture guidance, Annex A, Table 23. Below 0 °C the table lies up to 0.8 % above the formula."""
    assert saturation_pressure_pa(temperature) == pytest.approx(published, rel=8e-3 if temperature < 0 else ABOVE)


def test_the_pressures_of_the_german_period_balance_are_met() -> None:
    """wissenwiki.de, period balance method of DIN 4108-3: 20 °C, 50 % is 1168 Pa; −5 °C, 80 % is 321 Pa."""
    assert vapour_pressure_pa(20, 50) == pytest.approx(1168, abs=0.6)
    assert vapour_pressure_pa(-5, 80) == pytest.approx(321, abs=0.6)


@pytest.mark.parametrize(("temperature", "released"), [(0, 3.85), (-5, 5.35)])
def test_cooling_a_cubic_metre_of_room_air_releases_what_was_published(temperature: float, released: float) -> None:
    """wissenwiki.de, condensation: grams from 20 °C, 50 %, by a table of whole tenths (8.65 less 4.8 and 3.3). By the gas law of
    water vapour (461.5 J/(kg·K)) the content is p/(461.5·T); a tenth in each figure of the table allows 0.07."""

    def grams(pressure: float, celsius: float) -> float:
        return 1000 * pressure / (461.5 * (celsius + 273.15))

    lost = grams(vapour_pressure_pa(20, 50), 20) - grams(saturation_pressure_pa(temperature), temperature)
    assert lost == pytest.approx(released, abs=0.07)


@pytest.mark.parametrize(
    ("temperature", "humidity", "dew_point", "for_80_percent"),
    [
        (20, 50, 9.269, 12.625),
        (20, 60, 12.004, 15.435),
        (20, 70, 14.364, 17.861),
        (21, 65, 14.172, 17.663),
        (18, 60, 10.126, 13.505),
    ],
)
def test_dew_points_agree_with_the_libraries(
    temperature: float, humidity: float, dew_point: float, for_80_percent: float
) -> None:
    pressure = vapour_pressure_pa(temperature, humidity)
    assert dew_point_c(pressure) == pytest.approx(dew_point, abs=6e-4)
    assert dew_point_c(pressure / 0.8) == pytest.approx(for_80_percent, abs=6e-4)
    assert dew_point_c(pressure) == pytest.approx(psychrolib.GetTDewPointFromRelHum(temperature, humidity / 100), abs=0.02)
    in_water = humidity / 100 * PropsSI("P", "T", temperature + 273.15, "Q", 1, "Water")
    assert dew_point_c(pressure) == pytest.approx(PropsSI("T", "P", in_water, "Q", 1, "Water") - 273.15, abs=0.02)


@given(st.floats(-60, 80))
def test_the_dew_point_of_saturated_air_is_its_temperature(temperature: float) -> None:
    assert dew_point_c(saturation_pressure_pa(temperature)) == pytest.approx(temperature, abs=1e-7)


@given(st.floats(-60, 79), st.floats(0.001, 1))
def test_warmer_air_holds_more_vapour(temperature: float, warmer: float) -> None:
    assert saturation_pressure_pa(temperature + warmer) > saturation_pressure_pa(temperature)


@pytest.mark.parametrize(
    ("humidity_class", "outside", "excess"),
    [(1, -5, 270), (2, 0, 540), (3, 0, 810), (4, -20, 1080), (3, 10, 405), (2, 20, 0), (2, 27, 0)],
)
def test_humidity_classes_fall_to_nothing_at_twenty_degrees(humidity_class: int, outside: float, excess: float) -> None:
    """ISO 13788:2012, Figure A.2, from memory; half the excess at 10 °C by hand."""
    assert class_excess_pa(humidity_class, outside) == pytest.approx(excess, abs=5)


def test_inside_air_of_a_class_carries_the_excess_and_its_margin() -> None:
    """0 °C, 100 % is 610.5 Pa; class 3 adds 810, times 1.1 is 891: 1501.5 Pa; over 2336.951 is 64.25 %."""
    (air,) = inside_by_class([Air(0, 100)], 3, 20, safety_margin=1.1)
    assert air.vapour_pressure_pa == pytest.approx(1501.5, abs=1e-6)
    assert air.humidity_percent == pytest.approx(64.25, abs=0.01)
    (bare,) = inside_by_class([Air(0, 100)], 3, 20, safety_margin=1.0)
    assert bare.vapour_pressure_pa == pytest.approx(1420.5, abs=1e-6)


def test_an_inside_that_would_be_over_saturation_is_refused_by_month() -> None:
    months = [Air(5, 80), Air(28, 90)]
    with pytest.raises(Refused, match="month 2") as refusal:
        inside_by_class(months, 3, 20)
    assert [f.where for f in refusal.value.faults] == [("inside_temperature_c", 1)]
    assert len(inside_by_class(months, 3, [20, 29])) == 2
