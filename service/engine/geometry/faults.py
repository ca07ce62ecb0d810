"""Measurements that cannot be: a survey may be kept with them, but not taken off."""

from service.engine.findings import finding
from service.engine.geometry.corners import offset_of
from service.engine.inputs import REACHES_MM, Opening, Room, Wall
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode


def geometry_faults(rooms: tuple[Room, ...], parameters: Parameters) -> tuple[Finding, ...]:
    """Every opening that leaves its wall or overlaps another, every wall's own offset that no bracket fits. All are errors."""
    found: list[Finding] = []
    for r, room in enumerate(rooms, start=1):
        for w, wall in enumerate(room.walls, start=1):
            found += _outside(r, w, wall)
            found += _overlaps(r, w, wall)
            if wall.lined:
                found += _offset(r, w, wall, parameters)
    return tuple(found)


def _outside(r: int, w: int, wall: Wall) -> list[Finding]:
    """An edge up to 50 mm past floor or ceiling counts as reaching it."""
    found = []
    for k, o in enumerate(wall.openings, start=1):
        wrong = []
        if o.left_mm < 0:
            wrong.append(f"begins {-o.left_mm:g} mm before the wall")
        if o.right_mm > wall.length_mm:
            wrong.append(f"ends {o.right_mm - wall.length_mm:g} mm past the wall's length of {wall.length_mm:g} mm")
        if not wrong:  # heights are only known along the wall
            above = max(o.head_mm - wall.ceiling_at(x) for x in (o.left_mm, o.right_mm))
            below = max(wall.floor_at(x) - o.sill_mm for x in (o.left_mm, o.right_mm))
            if above > REACHES_MM:
                wrong.append(f"has its head {above:.0f} mm above the ceiling")
            if below > REACHES_MM:
                wrong.append(f"has its sill {below:.0f} mm below the floor")
        if wrong:
            found.append(finding(FindingCode.OPENING_OUTSIDE_WALL, f"The opening {' and '.join(wrong)}.", r, w, k))
    return found


def _overlap(a: Opening, b: Opening) -> bool:
    wide = min(a.right_mm, b.right_mm) - max(a.left_mm, b.left_mm)
    high = min(a.head_mm, b.head_mm) - max(a.sill_mm, b.sill_mm)
    return wide > EPSILON and high > EPSILON


def _overlaps(r: int, w: int, wall: Wall) -> list[Finding]:
    found = []
    for k, second in enumerate(wall.openings, start=1):
        for j, first in enumerate(wall.openings[: k - 1], start=1):
            if _overlap(first, second):
                wide = min(first.right_mm, second.right_mm) - max(first.left_mm, second.left_mm)
                found.append(
                    finding(
                        FindingCode.OPENINGS_OVERLAP, f"The opening overlaps opening {j} of its wall by {wide:g} mm.", r, w, k
                    )
                )
    return found


def _offset(r: int, w: int, wall: Wall, p: Parameters) -> list[Finding]:
    own = p.frame_offset_mm if wall.frame_offset_mm is None else wall.frame_offset_mm
    if own < p.least_offset_mm - EPSILON:
        return [
            finding(
                FindingCode.OFFSET_OUT_OF_REACH,
                f"A frame offset of {own:g} mm is too little: insulation, rail, bracket and stud need {p.least_offset_mm:g} mm.",
                r, w,
            )
        ]  # fmt: skip
    if offset_of(wall, p) > p.greatest_offset_mm + EPSILON:
        return [
            finding(
                FindingCode.OFFSET_OUT_OF_REACH,
                f"A frame {offset_of(wall, p):g} mm off the deepest point of the wall is out of the longest bracket's reach "
                f"({p.greatest_offset_mm:g} mm).",
                r, w,
            )
        ]  # fmt: skip
    return []
