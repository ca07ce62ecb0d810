"""Areas: what is lined, and what the lining takes of the floor."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.engine.findings import finding
from service.engine.geometry.closure import corner_points
from service.engine.inputs import Room, Wall
from service.engine.results import Finding, FrameLine, WallLayout
from service.finding_codes import FindingCode

FLOOR_LOST_MARK = 0.05
"""Share of a room's floor above which its loss is worth a finding: the mark that the note to Table 4.3 of Approved Document L
volume 1 (England, 2021) puts on it. A mark to look at, not a limit of this service."""

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True)
class RoomAreas:
    """Not rounded. `floor_m2` None where the room's walls are not a closed loop: its floor is not known."""

    floor_m2: float | None
    floor_lost_m2: float


@dataclass(frozen=True, slots=True)
class Areas:
    """`by_room`: in survey order. `lined_by_wall`: by room and wall ordinals, walls with a layout; not rounded."""

    lined_m2: float
    floor_lost_m2: float
    by_room: tuple[RoomAreas, ...]
    lined_by_wall: Mapping[tuple[int, int], float]


def areas(rooms: Sequence[Room], layouts: Sequence[WallLayout]) -> tuple[Areas, tuple[Finding, ...]]:
    """The lined area and the floor lost, of all walls with a layout; a closed room that loses over 5 % of its floor is a finding.

    Lined area: the elevation of the finished face, between floor and ceiling and from where it meets the neighbour's on the left
    to where it does on the right, less the openings in it (their structural size; reveals are not counted).

    Floor lost: `(d + t) × (L + finished length) / 2` a wall, the strip between masonry and finished face with its corners cut
    along their bisectors; the floor in openings is not given back.
    """
    lined = lost = 0.0
    findings = []
    by_room: dict[int, list[WallLayout]] = defaultdict(list)
    lined_by_wall: dict[tuple[int, int], float] = {}
    rooms_found = []
    for layout in layouts:
        by_room[layout.room].append(layout)
    for number, room in enumerate(rooms, 1):
        own = by_room[number]
        for layout in own:
            face = _face_mm2(room.walls[layout.wall - 1], layout.frame)
            lined += face
            lined_by_wall[number, layout.wall] = face / MM2_PER_M2
        lost_here = sum(_strip_mm2(room.walls[layout.wall - 1], layout.frame) for layout in own)
        lost += lost_here
        floor = floor_area_mm2(room) if room.closed else 0.0
        rooms_found.append(RoomAreas(floor / MM2_PER_M2 if floor > 0 else None, lost_here / MM2_PER_M2))
        if lost_here > FLOOR_LOST_MARK * floor > 0:
            message = (
                f"The lining takes {lost_here / MM2_PER_M2:.2f} m² of {floor / MM2_PER_M2:.2f} m² of floor, "
                f"{100 * lost_here / floor:.1f} %, more than {100 * FLOOR_LOST_MARK:g} %."
            )
            findings.append(finding(FindingCode.FLOOR_AREA_LOST, message, number))
    found = Areas(round(lined / MM2_PER_M2, 3), round(lost / MM2_PER_M2, 3), tuple(rooms_found), lined_by_wall)
    return found, tuple(findings)


def floor_area_mm2(room: Room) -> float:
    """Area within the masonry faces, from lengths and corner angles (shoelace formula)."""
    points = corner_points(room)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise([*points, points[0]]))) / 2


def _face_mm2(wall: Wall, frame: FrameLine) -> float:
    left, right = frame.finished_x0_mm, frame.finished_x1_mm
    face = (right - left) * (wall.height_at(left) + wall.height_at(right)) / 2
    openings = sum(
        max(0.0, min(opening.right_mm, right) - max(opening.left_mm, left)) * opening.height_mm for opening in wall.openings
    )
    return max(0.0, face - openings)


def _strip_mm2(wall: Wall, frame: FrameLine) -> float:
    return frame.finished_face_mm * (wall.length_mm + frame.finished_x1_mm - frame.finished_x0_mm) / 2
