"""The built-in range: unbranded components in usual sizes, so that a takeoff works before anyone has entered a catalogue.

Invented figures, usual in the trade, without prices. One row an item; lengths in mm, masses in kg a piece.

Marks: CP common practice, no published source; D a decision of this project; CALC worked out from the figures named beside it;
MEM from memory. Sizes of bars, boards, laminate and rolls are D; every other size and pack is CP unless its row says else.
Yields follow from the parameters of the lining (rules M4, B7).
"""

from dataclasses import replace

from service.engine.inputs import Item
from service.engine.parameters import Parameters
from service.vocabulary import Component

C_STUD_KG_PER_M = 0.58  # CALC: sheet 0.75 thick, 98 wide before rolling (48 + 2 × 20 + 2 × 5), steel 7850 kg/m³ (MEM): 0.577
U_CHANNEL_KG_PER_M = 0.38  # CALC: sheet 0.6 thick, 80 wide before rolling (20 + 2 × 30), steel 7850 kg/m³: 0.377
PLASTERBOARD_KG_PER_M2 = 8.5  # CP, 12.5 thick: a board of 1200 × 2400 weighs 24 to 25 kg
LAMINATE_KG_PER_M2 = 7.1  # CALC: board 9.5 thick at 6.5 kg/m² (MEM) and foam 17.5 thick at 32 kg/m³ (MEM): 7.06
INSULATION_KG_PER_M3 = 16.0  # CP, mineral wool in rolls
MEMBRANE_KG_PER_M2 = 0.16  # MEM


def _bars(component: Component, kg_per_m: float, lengths_mm: tuple[int, ...]) -> list[Item]:
    return [Item(component=component, length_mm=length, mass_kg=round(kg_per_m * length / 1000, 3)) for length in lengths_mm]


def _sheets(component: Component, kg_per_m2: float, thickness_mm: float, sizes_mm: tuple[tuple[int, int], ...]) -> list[Item]:
    return [
        Item(
            component=component,
            width_mm=width,
            length_mm=length,
            thickness_mm=thickness_mm,
            mass_kg=round(kg_per_m2 * width * length / 1e6, 2),
        )
        for width, length in sizes_mm
    ]


BUILTIN_RANGE: tuple[Item, ...] = (
    *_bars(Component.C_STUD, C_STUD_KG_PER_M, (2400, 2700, 3000, 3600)),
    *_bars(Component.U_CHANNEL, U_CHANNEL_KG_PER_M, (3000,)),
    *_sheets(Component.PLASTERBOARD, PLASTERBOARD_KG_PER_M2, 12.5, ((1200, 2400), (1200, 2700), (1200, 3000))),
    *_sheets(Component.INSULATED_LAMINATE, LAMINATE_KG_PER_M2, 27.0, ((1200, 2400),)),
    *_sheets(Component.INSULATION_ROLL, INSULATION_KG_PER_M3 * 0.08, 80.0, ((1200, 8000),)),
    *_sheets(Component.VCL_MEMBRANE, MEMBRANE_KG_PER_M2, 0.2, ((1500, 50000),)),
    Item(component=Component.BRACKET, pack_size=50, mass_kg=0.08),
    Item(component=Component.BRACKET_CLIP, pack_size=50, mass_kg=0.02),
    Item(component=Component.LAP_TAPE, width_mm=60, length_mm=25000, mass_kg=0.4),
    Item(component=Component.DOUBLE_SIDED_TAPE, width_mm=50, length_mm=25000, mass_kg=0.5),
    Item(component=Component.SEALANT, mass_kg=0.5),
    Item(component=Component.BOARD_ADHESIVE, mass_kg=25.0),
    Item(component=Component.BOARD_SCREW, length_mm=25, pack_size=1000, mass_kg=0.0015),
    Item(component=Component.BOARD_SCREW, length_mm=38, pack_size=1000, mass_kg=0.002),
    Item(component=Component.BOARD_SCREW, length_mm=55, pack_size=500, mass_kg=0.003),
    Item(component=Component.FRAME_SCREW, length_mm=13, pack_size=1000, mass_kg=0.001),
    Item(component=Component.TIMBER_FIXING, length_mm=50, pack_size=200, mass_kg=0.005),
    Item(component=Component.MASONRY_FIXING, length_mm=60, pack_size=100, mass_kg=0.008),
    Item(component=Component.JOINT_TAPE, width_mm=50, length_mm=90000, mass_kg=0.9),
    Item(component=Component.JOINT_COMPOUND, mass_kg=10.0),
    Item(component=Component.CORNER_BEAD, length_mm=3000, mass_kg=0.3),
    Item(component=Component.STOP_BEAD, length_mm=3000, mass_kg=0.25),
)


def builtin_range(p: Parameters) -> tuple[Item, ...]:
    """The range in the thicknesses of a build-up: boards, laminate and insulation as thick as it asks for, and as heavy."""
    thickness = {
        Component.PLASTERBOARD: p.board_thickness_mm,
        Component.INSULATED_LAMINATE: p.reveal_board_thickness_mm,
        Component.INSULATION_ROLL: p.insulation_thickness_mm,
    }
    return tuple(_as_thick(item, thickness[item.component]) if item.component in thickness else item for item in BUILTIN_RANGE)


def _as_thick(item: Item, thickness_mm: float) -> Item:
    """Mass in proportion to thickness (common practice, no published source)."""
    if item.thickness_mm is None or item.mass_kg is None or item.thickness_mm == thickness_mm:
        return item
    return replace(item, thickness_mm=thickness_mm, mass_kg=round(item.mass_kg * thickness_mm / item.thickness_mm, 2))
