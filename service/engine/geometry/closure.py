"""Whether the walls of a closed room come back to where they began.

Walking the walls clockwise, each corner of interior angle θ turns the way by 180 - θ to the right.
"""

import math

from service.engine.findings import finding
from service.engine.inputs import Room
from service.engine.results import Finding
from service.finding_codes import FindingCode

LEAST_GAP_MM = 25.0
GAP_SHARE = 0.005
ANGLES_WITHIN_DEG = 2.0


def corner_points(room: Room) -> list[tuple[float, float]]:
    """Left-hand masonry corner of each wall in plan, then the end of the last; the first wall runs along x."""
    x = y = heading = 0.0
    points = [(0.0, 0.0)]
    for wall in room.walls:
        x += wall.length_mm * math.cos(math.radians(heading))
        y += wall.length_mm * math.sin(math.radians(heading))
        points.append((x, y))
        heading -= 180 - wall.corner_deg
    return points


def loop_findings(number: int, room: Room) -> list[Finding]:
    """Error where the loop misses its start by over 25 mm or 0.5 % of the perimeter; warning where the corners' sum is off."""
    if not room.closed or not room.walls:
        return []
    found = []
    x, y = corner_points(room)[-1]
    gap, perimeter = math.hypot(x, y), sum(w.length_mm for w in room.walls)
    allowed = max(LEAST_GAP_MM, GAP_SHARE * perimeter)
    if gap > allowed:
        found.append(
            finding(
                FindingCode.LOOP_NOT_CLOSED,
                f"The walls do not close: the end of the last misses the start of the first by {gap:.0f} mm "
                f"(allowed {allowed:.0f} mm over a perimeter of {perimeter:.0f} mm). Measure lengths and corners again.",
                number,
            )
        )
    turned = sum(180 - w.corner_deg for w in room.walls)
    if abs(turned - 360) > ANGLES_WITHIN_DEG:
        corners = sum(w.corner_deg for w in room.walls)
        found.append(
            finding(
                FindingCode.CORNER_ANGLES_OFF,
                f"The corners of a closed room of {len(room.walls)} walls add up to {180 * (len(room.walls) - 2):.0f} degrees; "
                f"these add up to {corners:.0f}. Measure the corners again.",
                number,
            )
        )
    return found
