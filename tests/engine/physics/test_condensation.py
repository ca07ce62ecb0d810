"""Condensation within build-ups: reference cases worked apart, the tangents and the year a second way."""

from itertools import pairwise

import pytest
from build_up_dice import numbers
from hypothesis import given
from hypothesis import strategies as st

from service.engine.physics.air import Surfaces
from service.engine.physics.climate import DAYS, Air, Climate
from service.engine.physics.construction import Construction
from service.engine.physics.interstitial import compare_membrane, condensation_month, condensation_year, hold_and_dry
from service.engine.physics.layers import Layer
from service.engine.physics.planes import nodes, temperatures_c
from service.engine.physics.vapour import saturation_pressure_pa
from service.engine.physics.vapour_profile import AIR_PERMEABILITY, vapour_profile

BOARD = Layer("plasterboard", 12.5, 0.25, mu=4)
WOOL = Layer("mineral wool", 50, 0.035, mu=1)
BRICK = Layer("brick", 220, 0.77, mu=10)
APRIL = 4  # a month of 30 days


def membrane(sd: float) -> Layer:
    return Layer("vapour control layer", 0.2, resistance_m2k_w=0, sd_m=sd)


BARE = Construction((BOARD, WOOL, BRICK))
COLD = Climate((Air(-5, 80),) * 12, (Air(20, 50),) * 12)
MILD = Climate((Air(5, 85),) * 12, (Air(20, 60),) * 12)


@pytest.mark.parametrize(
    ("layers", "climate", "grams"),
    [
        ((BOARD, WOOL, BRICK), COLD, 3033.5),
        ((BOARD, membrane(50), WOOL, BRICK), COLD, 0.0),
        ((BOARD, WOOL, BRICK), MILD, 1817.5),
        ((BOARD, membrane(2), WOOL, BRICK), MILD, 19.9),
    ],
    ids=["A without membrane", "B sd 50", "C damp and mild", "D sd 2, near the threshold"],
)
def test_reference_walls_gather_what_was_worked_apart(layers: tuple[Layer, ...], climate: Climate, grams: float) -> None:
    """Worked on a separate sheet. A by hand: RT 1.9343, plane at −0.790 °C, 571.9 Pa; sd 0.1 inside, 2.2 outside:
    2e-10 · ((1168.5 − 571.9)/0.1 − (571.9 − 320.9)/2.2) = 1.1703e-6 kg/(m²·s), in 30 days 3033.5 g/m²."""
    month = condensation_month(Construction(layers), climate, APRIL)
    assert month.total_held_g_m2 == pytest.approx(grams, abs=0.06)


def test_the_plane_of_the_first_reference_wall_is_as_cold_as_worked_apart() -> None:
    """−0.790 °C and 571.9 Pa at the brick; with an inside surface of 0.25: −1.036 °C, 560.4 Pa, 9288 g/m² in 90 days."""
    month = condensation_month(BARE, COLD, APRIL)
    plane = next(at for at, node in enumerate(nodes(BARE)) if node.name == "between mineral wool and brick")
    assert month.temperatures_c[plane] == pytest.approx(-0.790, abs=1e-3)
    assert month.saturation_pa[plane] == pytest.approx(571.9, abs=0.05)
    assert month.held_g_m2[plane] == month.total_held_g_m2
    sheltered = Construction(BARE.layers, Surfaces(0.25, 0.04))
    month = condensation_month(sheltered, COLD, APRIL)
    assert month.temperatures_c[plane] == pytest.approx(-1.036, abs=1e-3)
    assert month.saturation_pa[plane] == pytest.approx(560.4, abs=0.05)
    assert month.total_held_g_m2 * 3 == pytest.approx(9288, abs=1)


def test_a_tight_membrane_leaves_only_what_diffuses_through() -> None:
    """(1168.5 − 320.9) Pa over sd 52.3 m: 2e-10 · 16.207 · 2 592 000 s · 1000 = 8.40 g/m² in 30 days, in and out."""
    month = condensation_month(Construction((BOARD, membrane(50), WOOL, BRICK)), COLD, APRIL)
    assert month.inflow_g_m2 == pytest.approx(8.40, abs=0.005)
    assert month.outflow_g_m2 == pytest.approx(month.inflow_g_m2)


@pytest.mark.parametrize(("inside_sd", "grams"), [(0.1, 8129), (50.1, 369)])
def test_a_wet_plane_dries_to_both_sides_as_in_the_period_balance(inside_sd: float, grams: float) -> None:
    """1200 Pa both sides, 1700 Pa on the plane, 90 days: 2e-10 · (500/0.1 + 500/2.2) · 7 776 000 · 1000 = 8129 g/m²."""
    _, held = hold_and_dry([0, inside_sd, inside_sd + 2.2], [1700] * 3, [0, 20_000, 0], 1200, 1200, 90 * 86_400)
    assert 20_000 - held[1] == pytest.approx(grams, abs=1)


def test_a_plane_dries_no_more_than_it_held_and_the_span_is_cut_there() -> None:
    """At 1.0455e-3 g/(m²·s) a plane of 100 g/m² is dry after 95 652 s; from then on nothing moves."""
    spans, held = hold_and_dry([0, 0.1, 2.3], [1700] * 3, [0, 100, 0], 1200, 1200, 90 * 86_400)
    assert held == (0, 0, 0)
    rate = 2e-10 * (500 / 0.1 + 500 / 2.2) * 1000
    assert [s.seconds for s in spans] == pytest.approx([100 / rate, 90 * 86_400 - 100 / rate])
    assert spans[1].profile.inflow_kg_m2s == pytest.approx(0, abs=1e-18)


def test_vapour_through_gypsum_board_matches_the_textbook() -> None:
    """Heat and Mass Transfer (a textbook), ch. 14: permeance 2.86e-9 kg/(s·m²·Pa), 3 × 8 m, 20 °C, 60 % against nothing, 24 h:
    2.86e-9 · 24 · 0.6 · 2339 · 86 400 = 8.32 kg."""
    sd = AIR_PERMEABILITY / 2.86e-9
    profile = vapour_profile([0, sd], [2339, 2339], (), 0.6 * saturation_pressure_pa(20), 0)
    assert profile.inflow_kg_m2s * 24 * 86_400 == pytest.approx(8.32, rel=2e-3)


def test_two_planes_condense_at_once() -> None:
    """By hand over sd 0, 1, 2, 3 with ceilings 600 and 300, between 1200 and 100 Pa: slopes 600, 300, 200; so 300 and 100 stay,
    times 2e-10."""
    profile = vapour_profile([0, 1, 2, 3], [2000, 600, 300, 150], (), 1200, 100)
    assert profile.rates_kg_m2s == pytest.approx([0, 300 * 2e-10, 100 * 2e-10, 0])
    assert profile.touching == (0, 1, 2, 3)


@st.composite
def ceilings(draw: st.DrawFn) -> tuple[list[float], list[float], list[int], float, float]:
    steps = draw(st.lists(numbers(0.01, 20), min_size=1, max_size=9))
    sd = [0.0]
    for step in steps:
        sd.append(sd[-1] + step)
    saturation = draw(st.lists(numbers(300, 2400), min_size=len(sd), max_size=len(sd)))
    wet = [at for at in range(1, len(sd) - 1) if draw(st.integers(0, 3)) == 0]
    return sd, saturation, wet, draw(numbers(100, saturation[0])), draw(numbers(100, saturation[-1]))


@given(ceilings())
def test_the_profile_is_the_lowest_of_all_chords_between_wet_planes(
    case: tuple[list[float], list[float], list[int], float, float],
) -> None:
    """The greatest convex line under points is, at each point, the lowest chord between any two of them: every chord is tried."""
    sd, saturation, wet, inside, outside = case
    profile = vapour_profile(sd, saturation, wet, inside, outside)
    heights = [inside, *saturation[1:-1], outside]
    pins = [0, *wet, len(sd) - 1]
    for low, high in pairwise(pins):
        for at in range(low, high + 1):
            chords = [
                heights[a] + (heights[b] - heights[a]) * (sd[at] - sd[a]) / (sd[b] - sd[a])
                for a in range(low, at + 1)
                for b in range(at, high + 1)
                if a < b
            ]
            assert profile.pressures_pa[at] == pytest.approx(min([heights[at], *chords]), abs=1e-5)
    dry = [rate for at, rate in enumerate(profile.rates_kg_m2s) if at not in wet]
    assert min(dry) >= 0
    assert sum(profile.rates_kg_m2s) == pytest.approx(profile.inflow_kg_m2s - profile.outflow_kg_m2s, abs=1e-15)


# An invented damp and mild climate; inside 20 °C and 45 to 60 %.
YEAR = Climate(
    tuple(
        Air(t, h)
        for t, h in (
            (1, 88),
            (2, 85),
            (5, 80),
            (9, 75),
            (13, 72),
            (16, 70),
            (18, 70),
            (18, 72),
            (14, 78),
            (10, 84),
            (5, 87),
            (2, 89),
        )
    ),
    tuple(Air(20, h) for h in (48, 45, 46, 48, 52, 56, 60, 60, 57, 53, 50, 48)),
)
DRYING = Construction((BOARD, membrane(1.5), WOOL, Layer("brick", 105, 0.77, mu=10)))


def test_a_year_in_steps_of_an_hour_ends_where_the_cut_months_do() -> None:
    """Second method: small steps of time, the lowest chord at each, water held taken as dry once it is gone."""
    year = condensation_year(DRYING, YEAR)
    assert year.condenses and year.dries_out
    found = nodes(DRYING)
    sd = [n.sd_m for n in found]
    held = [0.0] * len(found)
    for month in year.months:
        outside, inside = YEAR.outside[month.month - 1], YEAR.inside[month.month - 1]
        temperatures = temperatures_c(found, DRYING, inside.temperature_c, outside.temperature_c)
        heights = [
            inside.vapour_pressure_pa,
            *(saturation_pressure_pa(t) for t in temperatures[1:-1]),
            outside.vapour_pressure_pa,
        ]
        hours = DAYS[month.month - 1] * 24
        for _ in range(hours):
            pressures = _lowest_chords(sd, heights, [at for at, water in enumerate(held) if water > 0])
            flows = [2e-10 * (pressures[a] - pressures[a + 1]) / (sd[a + 1] - sd[a]) for a in range(len(sd) - 1)]
            for at in range(1, len(sd) - 1):
                gained = (flows[at - 1] - flows[at]) * 3600 * 1000
                held[at] = max(0.0, held[at] + (gained if abs(gained) > 1e-9 else 0.0))
        assert month.total_held_g_m2 == pytest.approx(sum(held), abs=0.3)


def _lowest_chords(sd: list[float], heights: list[float], wet: list[int]) -> list[float]:
    found = list(heights)
    for low, high in pairwise([0, *wet, len(sd) - 1]):
        for at in range(low + 1, high):
            for a in range(low, at):
                for b in range(at + 1, high + 1):
                    found[at] = min(found[at], heights[a] + (heights[b] - heights[a]) * (sd[at] - sd[a]) / (sd[b] - sd[a]))
    return found


def test_the_year_starts_with_the_first_month_that_condenses_and_tells_when_all_is_dry() -> None:
    year = condensation_year(DRYING, YEAR)
    wet = [m.month for m in year.months if m.total_held_g_m2 > 0]
    assert year.months[0].total_held_g_m2 > 0
    assert condensation_month(DRYING, YEAR, (year.start_month - 2) % 12 + 1).total_held_g_m2 == 0
    assert year.peak_g_m2 == max(m.total_held_g_m2 for m in year.months)
    assert year.dry_month is not None and year.dry_month not in wet


def test_no_other_start_leaves_more_water_in_the_wall() -> None:
    """The twelve months in another order of the calendar: the peak is the same, the start moves with them."""
    year = condensation_year(DRYING, YEAR)
    for shift in (3, 7):
        turned = Climate(YEAR.outside[shift:] + YEAR.outside[:shift], YEAR.inside[shift:] + YEAR.inside[:shift])
        again = condensation_year(DRYING, turned)
        assert again.start_month == (year.start_month - 1 - shift) % 12 + 1
        assert again.peak_g_m2 == pytest.approx(year.peak_g_m2, rel=0.15)  # months differ in length by up to a tenth


def test_a_membrane_is_compared_with_doing_without_it() -> None:
    comparison = compare_membrane(Construction((BOARD, membrane(50), WOOL, BRICK)), 1, COLD)
    assert comparison.membrane == "vapour control layer"
    assert not comparison.with_membrane.condenses
    assert comparison.with_membrane.dries_out and comparison.with_membrane.peak_month is None
    assert comparison.without_membrane.condenses
    assert not comparison.without_membrane.dries_out
    assert comparison.without_membrane.left_g_m2 == pytest.approx(3033.5 / 30 * 365, rel=1e-4)


def test_air_that_its_surface_cannot_hold_wets_the_surface() -> None:
    """20 °C and 95 % inside a bare brick wall at −5 °C outside."""
    month = condensation_month(Construction((BRICK,)), Climate((Air(-5, 80),) * 12, (Air(20, 95),) * 12), 1)
    assert month.wet_surfaces == ("inside",)
    assert month.pressures_pa[0] == month.saturation_pa[0]


def test_thick_insulation_is_cut_into_strips_that_resist_no_more_than_a_quarter() -> None:
    """50 mm of 0.035 resist 1.4286: six strips of 0.238; 220 mm of brick 0.2857: two strips; the board 0.05: one."""
    found = nodes(BARE)
    assert [n.name for n in found if n.name.startswith("within mineral")] == [
        f"within mineral wool, {i}/6 from inside" for i in range(1, 6)
    ]
    assert sum(n.name.startswith("within brick") for n in found) == 1
    assert len(found) == 1 + 1 + 6 + 2
    assert found[-1].resistance_m2k_w == pytest.approx(BARE.clear_m2k_w - 0.04)
    assert found[-1].sd_m == pytest.approx(0.05 + 0.05 + 2.2)
