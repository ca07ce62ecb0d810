"""Heat and moisture of whole surveys: walls by hand, what must hold for any survey, cautions by what a job holds."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms.inputs import takeoff_input
from rooms.surveys import random_case

from service.engine.builtin_range import builtin_range
from service.engine.heat.described import described_build_up
from service.engine.heat.substrates import wall_layers
from service.engine.heat_inputs import NOTHING_ASKED, BuildUp, BuiltLayer, HeatInputs, WallMaterial
from service.engine.heat_results import Heat
from service.engine.inputs import Feature, Opening, Room, TakeoffInput, Wall
from service.engine.order_results import Takeoff
from service.engine.parameters import Parameters
from service.engine.physics.climate import Air, Climate
from service.engine.physics.faults import Refused
from service.engine.physics.layers import Layer
from service.engine.physics.steps import Step
from service.engine.recipe import GeometryRefused, take_off
from service.finding_codes import FindingCode
from service.snapshots.digest import digest
from service.vocabulary import FeatureKind, OpeningKind, Substrate

WINDOW = Opening(
    kind=OpeningKind.WINDOW, offset_mm=1000, width_mm=1200, sill_mm=900, height_mm=1200, reveal_depth_mm=120, board_sill=True
)
STEADY = Climate((Air(5, 85),) * 12, (Air(20, 60),) * 12)


def wall(length_mm: float = 3000, **rest: object) -> Wall:
    return Wall(**{"length_mm": length_mm, "height_left_mm": 2400, "height_right_mm": 2400, **rest})  # type: ignore[arg-type]


def taken_off(*rooms: Room, heat: HeatInputs = NOTHING_ASKED, **parameters: float) -> Takeoff:
    p = Parameters(**parameters)  # type: ignore[arg-type]
    return take_off(TakeoffInput(rooms=rooms, parameters=p, items=builtin_range(p), heat=heat))


def codes(takeoff: Takeoff) -> set[FindingCode]:
    return {finding.code for finding in takeoff.findings}


@pytest.mark.parametrize(
    ("substrate", "thickness_mm", "resistance_m2k_w", "assumed"),
    [
        (Substrate.SOLID_BRICK, 225, 0.225 / 0.77, False),
        # leaves of 102.5 (common practice), 0.56 inside and 0.77 outside, a cavity of 65: 0.18
        (Substrate.CAVITY_BRICK, 270, 0.1025 / 0.56 + 0.18 + 0.1025 / 0.77, False),
        # 215 leaves 10 for a cavity, too little: solid
        (Substrate.CAVITY_BRICK, 215, 0.215 / 0.77, True),
        (Substrate.STONE, 500, 0.5 / 2.3, False),
        (Substrate.CONCRETE_BLOCK, 215, 0.215 / 1.35, False),
        (Substrate.DENSE_CONCRETE, 150, 0.15 / 2.0, False),
        # air of 82: 0.18, and boarding of 18 of softwood: 0.13
        (Substrate.TIMBER_FRAME, 100, 0.18 + 0.018 / 0.13, True),
        (Substrate.OTHER, 225, 0.225 / 0.77, True),
    ],
)
def test_a_substrate_stands_for_layers_of_design_values(
    substrate: Substrate, thickness_mm: float, resistance_m2k_w: float, assumed: bool
) -> None:
    """Clear of timber. Values of brick read in a worked example, the others from memory of ISO 10456."""
    layers, words = wall_layers(substrate, thickness_mm, None)
    assert sum(layer.clear_m2k_w for layer in layers) == pytest.approx(resistance_m2k_w)
    assert (words is not None) is assumed
    assert all(layer.vapour_sd_m > 0 for layer in layers)


def test_a_wall_of_a_named_material_is_nothing_assumed() -> None:
    layers, words = wall_layers(Substrate.OTHER, 300, WallMaterial(name="Cob", conductivity_w_mk=0.6))
    assert [(layer.name, layer.clear_m2k_w) for layer in layers] == [("Cob", pytest.approx(0.5))] and words is None


@pytest.mark.parametrize("substrate", list(Substrate))
@pytest.mark.parametrize("thickness_mm", [1, 17, 18, 19, 102.5, 224.9, 225, 600, 5000])
def test_every_substrate_has_layers_at_every_thickness(substrate: Substrate, thickness_mm: float) -> None:
    layers, _ = wall_layers(substrate, thickness_mm, None)
    assert sum(layer.clear_m2k_w for layer in layers) > 0


def test_a_wall_beyond_the_method_is_refused() -> None:
    with pytest.raises(Refused, match="thicker"):
        wall_layers(Substrate.STONE, 5001, None)


def test_the_parameters_describe_a_build_up() -> None:
    """Offset 140, wool 80: 60 of air, 0.18; boards 2 × 12.5: 0.1; wool 0.08/0.035."""
    described = described_build_up(Parameters(board_layers=2, frame_offset_mm=140), 140)
    assert [(one.layer.thickness_mm, round(one.layer.clear_m2k_w, 4)) for one in described.layers] == [
        (25, 0.1),
        (0.15, 0),
        (60, 0.18),
        (80, 2.2857),
    ]
    assert described.wall_at == 4
    bare = described_build_up(Parameters(insulation_thickness_mm=0, frame_offset_mm=70), 70)
    assert [one.layer.thickness_mm for one in bare.layers] == [12.5, 0.15, 70]


def test_a_wall_with_an_offset_of_its_own_has_its_own_air() -> None:
    takeoff = taken_off(Room(walls=(wall(), wall(frame_offset_mm=130))))
    air = [
        next(layer.thickness_mm for layer in one.assessment.question.after.layers if "Air" in layer.name)
        for one in takeoff.heat.walls
        if one.assessment
    ]
    assert air == [20, 50]


def test_walls_that_are_built_alike_are_worked_out_once() -> None:
    room = Room(walls=(wall(), wall(2000, lined=False)))
    takeoff = taken_off(room, room, heat=HeatInputs(climate=STEADY))
    one, two = takeoff.heat.walls
    assert one.assessment is two.assessment
    longer = taken_off(room, Room(walls=(wall(5000),)), heat=HeatInputs(climate=STEADY)).heat.walls
    assert longer[0].assessment and longer[1].assessment and longer[0].assessment is not longer[1].assessment
    assert longer[0].assessment.moisture is longer[1].assessment.moisture, "brackets make no difference to moisture"


def test_an_unlined_wall_is_not_counted_and_one_without_a_lining_stays_as_it_was() -> None:
    """130 long, 100 of it behind the neighbour's lining: a frame of 30 is none. It keeps 0.225/0.77 + 0.17 = 0.4622 m²·K/W, so
    2.1635 W/(m²·K)."""
    takeoff = taken_off(Room(walls=(wall(130), wall(), wall(2000, lined=False))))
    narrow = [one for one in takeoff.heat.walls if not one.carries_lining]
    assert [(one.room, one.wall) for one in takeoff.heat.walls] == [(1, 1), (1, 2)] and len(narrow) == 1
    for one in narrow:
        assert one.assessment is not None
        assert one.assessment.u_after.u_value_w_m2k == pytest.approx(2.1635, abs=1e-4)


def test_what_was_assumed_missed_and_may_become_wet_is_found() -> None:
    thin = BuildUp(
        layers=(
            BuiltLayer(layer=Layer("Board", 12.5, 0.25, mu=10)),
            BuiltLayer(layer=Layer("Wool", 30, 0.035, mu=1)),
        ),
        wall_at=2,
    )
    asked = HeatInputs(build_up=thin, target_u_value_w_m2k=0.3, critical_temperature_factor=0.95, climate=STEADY)
    takeoff = taken_off(Room(walls=(wall(substrate=Substrate.OTHER),)), heat=asked)
    assert codes(takeoff) >= {
        FindingCode.THERMAL_TARGET_MISSED,
        FindingCode.CONDENSATION_RISK,
        FindingCode.MOULD_RISK,
        FindingCode.WALL_MATERIAL_ASSUMED,
        FindingCode.BUILD_UP_DIFFERS,
    }
    (differs,) = [f for f in takeoff.findings if f.code is FindingCode.BUILD_UP_DIFFERS]
    assert "30 mm of Wool" in differs.message and "80 mm" in differs.message


def test_a_good_wall_has_no_findings_about_heat() -> None:
    takeoff = taken_off(Room(walls=(wall(),)), heat=HeatInputs(target_u_value_w_m2k=0.4, climate=STEADY))
    on_heat = {
        FindingCode.THERMAL_TARGET_MISSED,
        FindingCode.CONDENSATION_RISK,
        FindingCode.MOULD_RISK,
        FindingCode.HEAT_NOT_ASSESSED,
    }
    assert not codes(takeoff) & on_heat


def test_everything_asked_about_heat_is_in_the_digest_and_years_only_choose_cautions() -> None:
    base = TakeoffInput(rooms=(Room(walls=(wall(),)),), items=())
    build_up = described_build_up(Parameters(), 100)
    changed = [
        HeatInputs(build_up=build_up),
        HeatInputs(build_up=replace(build_up, wall_material=WallMaterial(name="Cob", conductivity_w_mk=0.6))),
        HeatInputs(target_u_value_w_m2k=0.3),
        HeatInputs(critical_temperature_factor=0.75),
        HeatInputs(climate=STEADY),
        HeatInputs(climate=Climate(STEADY.outside, (Air(20, 61), *STEADY.inside[1:]))),
        HeatInputs(year_built=1950),
    ]
    digests = {digest(replace(base, heat=heat)) for heat in (NOTHING_ASKED, *changed)}
    assert len(digests) == 1 + len(changed)


def test_cautions_name_the_walls_that_call_for_them() -> None:
    hearth = Opening(kind=OpeningKind.HEARTH, offset_mm=1000, width_mm=900, sill_mm=0, height_mm=900)
    socket = Feature(kind=FeatureKind.SOCKET, x_mm=400, y_mm=450)
    room = Room(
        walls=(
            wall(openings=(WINDOW,)),
            wall(openings=(hearth,)),
            wall(features=(socket,)),
            wall(substrate=Substrate.TIMBER_FRAME),
        )
    )
    takeoff = taken_off(room, heat=HeatInputs(year_built=1995))
    called = {one.caution.id: one.walls for one in takeoff.cautions}
    assert called["window_reveals"] == ((1, 1),)
    assert called["combustion_appliance"] == ((1, 2),)
    assert called["electrical_features"] == ((1, 3),)
    assert called["timber_moisture"] == ((1, 4),)
    assert called["solid_masonry_moisture"] == ((1, 1), (1, 2), (1, 3))
    assert called["asbestos"] == called["damp_first"] == ((1, 1), (1, 2), (1, 3), (1, 4))
    assert "lead_paint" not in called, "built after 1992"


def test_fibre_is_cautioned_of_wool_and_of_what_is_not_named_but_not_of_foam() -> None:
    def build_up(fibre: bool | None) -> HeatInputs:
        layers = (BuiltLayer(layer=Layer("Insulation", 80, 0.03, mu=1), fibre=fibre),)
        return HeatInputs(build_up=BuildUp(layers=layers, wall_at=1))

    found = {
        fibre: "mineral_fibre" in {one.caution.id for one in taken_off(Room(walls=(wall(),)), heat=build_up(fibre)).cautions}
        for fibre in (True, None, False)
    }
    assert found == {True: True, None: True, False: False}


def test_heavy_boards_are_weighed_as_whole_sheets() -> None:
    """8.5 kg/m² · 1.2 · 2.4 m = 24.5 kg at 12.5 mm, 29.4 kg at 15 mm."""
    light = taken_off(Room(walls=(Wall(length_mm=3000, height_left_mm=2390, height_right_mm=2390),)))
    heavy = taken_off(Room(walls=(Wall(length_mm=3000, height_left_mm=2390, height_right_mm=2390),)), board_thickness_mm=15)
    assert "heavy_boards" not in {one.caution.id for one in light.cautions}
    assert "heavy_boards" in {one.caution.id for one in heavy.cautions}


def _sums_are_those_of_the_walls(heat: Heat) -> None:
    for room in (*heat.rooms, heat.total):
        own = [one for one in heat.walls if room.room in (None, one.room)]
        assert room.area_m2 == pytest.approx(sum(one.area_m2 for one in own))
        losses = [one.heat_loss_w_k for one in own]
        if None in losses:
            assert room.heat_loss_w_k is None
        else:
            assert room.heat_loss_w_k == pytest.approx(sum(losses))  # type: ignore[arg-type]
    assert heat.total.floor_area_lost_m2 == pytest.approx(sum(room.floor_area_lost_m2 for room in heat.rooms))


@settings(max_examples=25)
@given(st.integers(0, 10_000))
def test_of_any_survey_each_lined_wall_is_assessed_and_lining_never_loses_more(seed: int) -> None:
    asked = replace(takeoff_input(random_case(random.Random(seed))), heat=HeatInputs(target_u_value_w_m2k=0.25, climate=STEADY))
    try:
        takeoff = take_off(asked)
    except GeometryRefused:
        return
    lined = {(r, w) for r, room in enumerate(asked.rooms, 1) for w, one in enumerate(room.walls, 1) if one.lined}
    assert {(one.room, one.wall) for one in takeoff.heat.walls} == lined
    _sums_are_those_of_the_walls(takeoff.heat)
    layouts = {(layout.room, layout.wall): layout for layout in takeoff.layouts}
    for one in takeoff.heat.walls:
        assert one.assessment is not None and one.assessment.u_before is not None, one.reason
        after, before = one.assessment.u_after, one.assessment.u_before
        assert after.u_value_uncorrected_w_m2k <= before.u_value_uncorrected_w_m2k * (1 + 1e-12)
        assert one.carries_lining is ((one.room, one.wall) in layouts)
        assert one.brackets == (len(layouts[one.room, one.wall].brackets) if one.carries_lining else 0)
        missed = FindingCode.THERMAL_TARGET_MISSED in {
            f.code for f in takeoff.findings if (f.room, f.wall) == (one.room, one.wall)
        }
        assert missed is (after.u_value_w_m2k > 0.25 * (1 + 1e-9))
        assert one.assessment.moisture is not None
        assert abs(one.assessment.moisture.as_built.balance_g_m2) < 1e-6
        assert all(isinstance(step, Step) for step in one.assessment.steps)
