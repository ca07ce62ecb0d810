"""What makes the membrane tight round what passes it: rule V6."""

import math

from service.engine.features.cut_outs import Passing
from service.engine.features.sizes import DUCTS
from service.engine.parameters import Parameters
from service.engine.results import Usage
from service.vocabulary import Component, UnitCode


def seals_round(passing: Passing, room: int, p: Parameters) -> list[Usage]:
    """Lap tape round the box, pipe or duct itself; a bead of sealant in the gap that the boards leave round a pipe or duct."""
    placed, (wide, high) = passing.placed, passing.placed.hole(p)
    width, height = placed.width_mm + 2 * p.seal_overrun_mm, placed.height_mm + 2 * p.seal_overrun_mm
    seals = [_usage(passing, room, Component.LAP_TAPE, "round features", 2 * (width + height), _sides(width, height))]
    if placed.kind in DUCTS:
        around, terms = (math.pi * wide, f"π × {wide:g} mm") if placed.round else (2 * (wide + high), _sides(wide, high))
        seals.append(_usage(passing, room, Component.SEALANT, "gaps round pipes and vents", around, terms))
    return seals


def _sides(width: float, height: float) -> str:
    return f"4 × {width:g} mm" if width == height else f"2 × {width:g} + 2 × {height:g} mm"


def _usage(passing: Passing, room: int, component: Component, where: str, length_mm: float, terms: str) -> Usage:
    return Usage(
        component=component, where=where, room=room, wall=passing.placed.wall, quantity=round(length_mm / 1000, 4),
        unit=UnitCode.METRE, terms=terms, members=(passing.placed.place(room),), rules=("V6",),
    )  # fmt: skip
