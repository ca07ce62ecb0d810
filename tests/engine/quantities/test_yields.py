"""How far tubes, bags, tapes and beads go: by hand."""

import pytest

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Item, Opening, Room, TakeoffInput, Wall
from service.engine.parameters import Parameters
from service.engine.quantities.yields import bead_metres, with_yields
from service.engine.recipe import take_off
from service.vocabulary import Component, OpeningKind


@pytest.mark.parametrize(
    ("tube_ml", "bead_mm", "metres"),
    [
        (310, 6, 10.9),  # 310 000 mm³ / (π · 6² / 4 = 28.274 mm²) = 10 964 mm
        (310, 10, 3.9),  # 310 000 / 78.540 = 3 947 mm
        (600, 8, 11.9),  # 600 000 / 50.265 = 11 937 mm
    ],
)
def test_a_tube_reaches_as_far_as_its_volume(tube_ml, bead_mm, metres):
    assert bead_metres(tube_ml, bead_mm) == metres


def test_bags_cover_by_their_mass_and_a_yield_of_an_items_own_stands():
    p = Parameters(adhesive_coverage_m2_per_kg=0.25, compound_coverage_m2_per_kg=2)
    items = [
        Item(component=Component.BOARD_ADHESIVE, mass_kg=20),  # 20 × 0.25 = 5 m²
        Item(component=Component.JOINT_COMPOUND, mass_kg=10),  # 10 × 2 = 20 m²
        Item(component=Component.JOINT_COMPOUND, mass_kg=10, yield_per_piece=33),
        Item(component=Component.JOINT_COMPOUND),
        Item(component=Component.LAP_TAPE, length_mm=25000, mass_kg=1),
    ]
    assert [item.yield_per_piece for item in with_yields(items, p)] == [5, 20, 33, None, None]


def test_a_thicker_bead_takes_more_tubes_and_thinner_compound_fewer_bags():
    """Bead 6 to 12: a quarter of the metres a tube. Compound at twice the coverage: half the bags, rounded up."""
    window = Opening(kind=OpeningKind.WINDOW, offset_mm=1200, width_mm=1200, sill_mm=900, height_mm=1200)
    wall = Wall(length_mm=4200, height_left_mm=2700, height_right_mm=2700, openings=(window,))
    rooms = (Room(walls=(wall,) * 8, closed=False),)

    def bought(component: Component, **parameters: float) -> tuple[float, int]:
        takeoff = take_off(TakeoffInput(rooms=rooms, parameters=Parameters(**parameters), items=BUILTIN_RANGE))
        line = next(line for line in takeoff.schedule if line.component is component)
        return line.net_quantity, sum(entry.needed for entry in line.order)

    metres, tubes = bought(Component.SEALANT, sealant_bead_mm=12)
    assert tubes == -(-metres // 2.7)  # 310 000 / 113.10 = 2 741 mm
    assert tubes > bought(Component.SEALANT)[1]
    area, bags = bought(Component.JOINT_COMPOUND, compound_coverage_m2_per_kg=5)
    assert bags == -(-area // 50)  # bags of 10 kg
    assert bought(Component.BOARD_ADHESIVE, adhesive_coverage_m2_per_kg=0.02)[1] > bought(Component.BOARD_ADHESIVE)[1]
