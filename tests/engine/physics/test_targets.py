"""How much resistance is missing, and the thickness that closes it."""

import pytest
from build_up_dice import corrected_build_ups, numbers
from hypothesis import assume, given

from service.engine.physics.construction import Construction
from service.engine.physics.corrections import AirGaps, Fasteners
from service.engine.physics.faults import Refused
from service.engine.physics.heat_loss import Area, heat_loss
from service.engine.physics.layers import Bridge, Layer
from service.engine.physics.target import missing_resistance_m2k_w, thickness_to_target
from service.engine.physics.u_value import u_value

BOARD = Layer("plasterboard", 12.5, 0.25)
BRICK = Layer("brick", 220, 0.77)


def lined(thickness: float, *corrections: Fasteners | AirGaps) -> Construction:
    return Construction((BOARD, Layer("insulation", thickness, 0.035), BRICK), corrections=corrections)


@pytest.mark.parametrize(
    ("before", "target", "missing"),
    [
        (2.1, 0.30, 2.857),
        (1.7, 0.30, 2.745),
        (2.1, 0.60, 1.190),
        (2.1, 0.35, 2.381),
        (2.1, 0.25, 3.524),
        (0.30, 0.30, 0.0),
        (0.2, 0.3, 0.0),
    ],
)
def test_missing_resistance_is_the_difference_of_the_reciprocals(before: float, target: float, missing: float) -> None:
    """1/0.30 − 1/2.1 = 2.857; the pairs at 2.1 are insulated walls of the existing dwellings' table (RdSAP 2012, S6)."""
    assert missing_resistance_m2k_w(before, target) == pytest.approx(missing, abs=5e-4)


def test_without_corrections_the_thickness_is_the_missing_resistance_times_the_conductivity() -> None:
    """Without insulation 0.17 + 0.05 + 0.22/0.77 = 0.50571; 1/0.3 − 0.50571 = 2.82762; times 0.035 is 98.967 mm, 99 mm whole."""
    answer = thickness_to_target(lined(50), 1, 0.30)
    assert answer.thickness_mm == pytest.approx(98.967, abs=1e-3)
    assert answer.added_mm == pytest.approx(48.967, abs=1e-3)
    assert answer.whole_mm == 99


def test_with_brackets_the_thickness_solves_the_corrected_value() -> None:
    """K = 0.8 · 50 · 20e-6 · 4 = 0.0032 W·m/(m²·K); with x = d/0.035 the corrected value is 1/(c + x) + (K/0.035)·x/(c + x)²,
    c = 0.50571. At target 0.3 with k = 0.0914286: 0.3(c + x)² − (1 + k)(c + x) + k·c = 0, so c + x = (1.0914286 +
    √(1.1912163 − 1.2 · 0.0462362)) / 0.6 = 3.59516, d = 108.131 mm."""
    answer = thickness_to_target(lined(50, Fasteners(1, 4, 20, 50)), 1, 0.30)
    assert answer.thickness_mm == pytest.approx(108.131, abs=2e-3)


def test_a_wall_that_meets_its_target_needs_nothing() -> None:
    answer = thickness_to_target(lined(150), 1, 0.30)
    assert (answer.thickness_mm, answer.added_mm, answer.whole_mm) == (150, 0.0, 150)


def test_a_target_that_no_thickness_reaches_is_said() -> None:
    """Gaps of level 2 leave nearly 0.04 whatever the thickness; and without them 1 m is not enough for 0.03."""
    gaps = thickness_to_target(lined(50, AirGaps(1, 2)), 1, 0.05, most_mm=5000)
    assert gaps.thickness_mm is not None
    for answer in (thickness_to_target(lined(50, AirGaps(1, 2)), 1, 0.03, most_mm=5000), thickness_to_target(lined(50), 1, 0.03)):
        assert answer.thickness_mm is None
        assert answer.added_mm is None
        assert answer.whole_mm is None
        assert "no thickness" in answer.reason


def test_a_thicker_layer_that_leaves_the_method_is_said() -> None:
    """A stud share that is fine in a thin layer drives the limits more than 1.5 to 1 apart in a thick one."""
    studs = Layer("insulation between concrete ribs", 20, 0.02, bridge=Bridge(0.1, 2.0))
    wall = Construction((Layer("board", 100, 0.05), studs, Layer("board", 100, 0.05)))
    assert u_value(wall).u_value_w_m2k > 0.15
    answer = thickness_to_target(wall, 1, 0.1)
    assert answer.thickness_mm is None
    assert "method" in answer.reason


def test_a_thickness_to_target_is_refused_for_a_layer_of_fixed_resistance() -> None:
    wall = Construction((BOARD, Layer("insulation", 50, resistance_m2k_w=1.4), BRICK))
    with pytest.raises(Refused, match="fixed resistance"):
        thickness_to_target(wall, 1, 0.3)
    with pytest.raises(Refused, match="more than zero"):
        thickness_to_target(lined(50), 1, 0.0)
    with pytest.raises(Refused, match="no layer 7"):
        thickness_to_target(lined(50), 7, 0.3)


@given(corrected_build_ups(), numbers(0.1, 0.9), numbers(0, 400))
def test_the_thickness_found_meets_the_target_and_so_does_every_thicker_one(wall: Construction, part: float, more: float) -> None:
    at = wall.corrections[0].layer
    try:
        target = u_value(wall).u_value_w_m2k * part
        answer = thickness_to_target(wall, at, target)
        assume(answer.thickness_mm is not None and answer.added_mm)
        assert answer.thickness_mm is not None and answer.whole_mm is not None
        met = u_value(wall.with_thickness(at, answer.thickness_mm)).u_value_w_m2k
        thicker = u_value(wall.with_thickness(at, answer.whole_mm + more)).u_value_w_m2k
    except Refused:
        assume(False)
    assert met == pytest.approx(target, rel=1e-6)
    assert thicker <= target * (1 + 1e-9)


def test_heat_loss_is_area_times_transmittance() -> None:
    """10 · 2.1 + 5 · 1.7 = 29.5 W/K before, 10 · 0.3 + 5 · 0.3 = 4.5 after."""
    loss = heat_loss([Area("one", 10, 2.1, 0.3), Area("two", 5, 1.7, 0.3)])
    assert loss.before_w_k == pytest.approx(29.5)
    assert loss.after_w_k == pytest.approx(4.5)
    assert loss.saved_w_k == pytest.approx(25.0)
    assert heat_loss([]).before_w_k == 0
