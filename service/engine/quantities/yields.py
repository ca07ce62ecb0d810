"""How far a tube or a bag goes, where its item does not say so itself: rules M4, B5, B7."""

import math
from collections.abc import Iterable
from dataclasses import replace

from service.engine.inputs import Item
from service.engine.parameters import Parameters
from service.vocabulary import Component

MM3_PER_ML = 1000
MM_PER_M = 1000


def with_yields(items: Iterable[Item], p: Parameters) -> list[Item]:
    """The items, each tube of sealant and bag of adhesive or compound with what one piece covers, in the schedule's unit.

    A yield of an item's own stands. Tapes and beads yield their length. A bag of no stated mass yields nothing known.
    """
    return [item if item.yield_per_piece else replace(item, yield_per_piece=_yield(item, p)) for item in items]


def bead_metres(tube_ml: float, bead_mm: float) -> float:
    """M4: length of a round bead that a tube makes, rounded down to 0.1 m."""
    return math.floor(tube_ml * MM3_PER_ML / (math.pi * bead_mm**2 / 4) / MM_PER_M * 10) / 10


def _yield(item: Item, p: Parameters) -> float | None:
    if item.component is Component.SEALANT:
        return bead_metres(p.sealant_tube_ml, p.sealant_bead_mm)
    coverage = {
        Component.BOARD_ADHESIVE: p.adhesive_coverage_m2_per_kg,
        Component.JOINT_COMPOUND: p.compound_coverage_m2_per_kg,
    }.get(item.component)
    return None if coverage is None or item.mass_kg is None else item.mass_kg * coverage
