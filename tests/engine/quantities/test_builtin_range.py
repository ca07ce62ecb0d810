"""The range that a new account starts with."""

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Opening, Room, TakeoffInput, Wall
from service.engine.recipe import take_off
from service.vocabulary import Component, OpeningKind


def lengths(component: Component) -> list[int | None]:
    return [item.length_mm for item in BUILTIN_RANGE if item.component is component]


def test_every_component_can_be_bought():
    assert {item.component for item in BUILTIN_RANGE} == set(Component)


def test_bars_boards_and_rolls_come_in_usual_sizes():
    assert lengths(Component.C_STUD) == [2400, 2700, 3000, 3600]
    assert lengths(Component.U_CHANNEL) == [3000]
    boards = [(i.width_mm, i.length_mm) for i in BUILTIN_RANGE if i.component is Component.PLASTERBOARD]
    assert boards == [(1200, 2400), (1200, 2700), (1200, 3000)]
    assert lengths(Component.INSULATED_LAMINATE) == [2400]
    assert lengths(Component.INSULATION_ROLL) == [8000]
    assert lengths(Component.VCL_MEMBRANE) == [50000]


def test_nothing_has_a_price_a_brand_or_a_code_and_everything_a_mass():
    assert all(item.price_minor is None and item.sku is None and item.description is None for item in BUILTIN_RANGE)
    assert all(item.mass_kg for item in BUILTIN_RANGE)


def test_a_board_of_1200_by_2400_weighs_24_to_25_kg():
    # Common practice: 8.5 kg/m² for 12.5 mm, 8.5 × 2.88 = 24.48.
    (mass,) = {i.mass_kg for i in BUILTIN_RANGE if i.component is Component.PLASTERBOARD and i.length_mm == 2400}
    assert mass == 24.48


def test_each_line_of_a_first_takeoff_can_be_ordered():
    window = Opening(kind=OpeningKind.WINDOW, offset_mm=1200, width_mm=1200, sill_mm=900, height_mm=1200)
    wall = Wall(length_mm=4200, height_left_mm=2700, height_right_mm=2700, openings=(window,))
    takeoff = take_off(TakeoffInput(rooms=(Room(walls=(wall, wall)),), items=BUILTIN_RANGE))
    assert {line.component for line in takeoff.schedule} >= {Component.C_STUD, Component.U_CHANNEL, Component.BRACKET}
    for line in takeoff.schedule:
        assert line.order, line.component
        assert line.ordered_quantity >= line.net_quantity
        assert line.unsupplied_quantity == 0
