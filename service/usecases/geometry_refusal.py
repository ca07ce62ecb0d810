"""From geometry faults by place to a refusal by pointer and id."""

from collections.abc import Iterable

from service.engine.inputs import Room
from service.engine.results import Finding
from service.errors import Fault, GeometryInvalid
from service.finding_codes import FindingCode
from service.snapshots.places import opening_place, room_place, wall_place
from service.usecases.engine_input import Surveyed


def geometry_refusal(findings: Iterable[Finding], surveyed: Surveyed) -> GeometryInvalid:
    """One entry each: the pointer of the member that is wrong, and the ids of what it belongs to."""
    return GeometryInvalid([_fault(found, surveyed) for found in findings])


def _fault(found: Finding, surveyed: Surveyed) -> Fault:
    room, wall, opening = found.room or 0, found.wall or 0, found.opening
    places = {"room_id": room_place(room), "wall_id": wall_place(room, wall)}
    if opening is not None:
        places["opening_id"] = opening_place(room, wall, opening)
    at = surveyed.pointers[list(places.values())[-1]]
    member = _member(found, surveyed.rooms[room - 1])
    return Fault(f"{at}/{member}", found.message, found.code.value, {slot: surveyed.ids[place] for slot, place in places.items()})


def _member(found: Finding, room: Room) -> str:
    """Which measurement to look at first."""
    wall = room.walls[(found.wall or 1) - 1]
    if found.opening is None:
        return "frame_offset_mm" if wall.frame_offset_mm is not None else "proud_mm"
    opening = wall.openings[found.opening - 1]
    if found.code is FindingCode.OPENINGS_OVERLAP or opening.left_mm < 0 or opening.right_mm > wall.length_mm:
        return "offset_mm"
    ceiling = min(wall.ceiling_at(opening.left_mm), wall.ceiling_at(opening.right_mm))
    return "height_mm" if opening.head_mm > ceiling else "sill_mm"
