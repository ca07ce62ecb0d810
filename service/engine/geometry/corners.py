"""How a frame ends at a corner: rules F1 and F2.

All distances are set back along the wall from its masonry corner, positive into the wall, negative past the corner.
"""

import math
from dataclasses import dataclass

from service.engine.inputs import Wall
from service.engine.parameters import Parameters
from service.engine.units import cot
from service.vocabulary import EndKind

JOINED_WITHIN_DEG = 5.0
"""Two lined walls that turn by no more than this are one run."""
STOP_END_OVER_DEG = 135.0
BLUNT_WITHIN_DEG = 45.0
"""Corners nearer to 180 than this are blunt."""
LEAST_HEIGHT_MM = 300.0
"""Rule F3: below this height no frame stands."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a run. Set-backs of the boarded face at the frame line, of channels and end stud, of the finished face."""

    kind: EndKind
    face_mm: float
    channel_mm: float
    finished_mm: float
    corner_deg: float
    neighbour: int | None = None  # ordinal of the wall beyond the corner
    neighbour_wall: Wall | None = None

    @property
    def blocks_openings(self) -> bool:
        """Whether something stands in front of the wall here: an opening may not reach behind its face."""
        return self.kind in (EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER, EndKind.UNLINED_WALL)


def offset_of(wall: Wall, p: Parameters) -> float:
    """d of a wall: masonry face to frame line, counted from the wall's proudest point."""
    own = p.frame_offset_mm if wall.frame_offset_mm is None else wall.frame_offset_mm
    return own + wall.proud_mm


def nearly_straight(corner_deg: float) -> bool:
    return abs(corner_deg - 180) <= JOINED_WITHIN_DEG


def _thrown_far(d: float, d_n: float, corner_deg: float) -> bool:
    """Whether unequal frames at a blunt corner would meet further than two offsets away: they step at the corner instead."""
    if d == d_n or abs(corner_deg - 180) >= BLUNT_WITHIN_DEG:
        return False
    sin, cos = math.sin(math.radians(corner_deg)), math.cos(math.radians(corner_deg))
    return max(abs((d_n + d * cos) / sin), abs((d + d_n * cos) / sin)) > 2 * max(d, d_n)


def end_at(
    wall: Wall,
    neighbour: Wall | None,
    ordinal: int | None,
    corner_deg: float,
    p: Parameters,
    *,
    left_hand: bool,
    height_beyond: float,
) -> End:
    """The end of `wall`'s frame at its corner with `neighbour` (None: an unlined return of an open run, at 90).

    `left_hand`: `wall` is the left-hand wall of this corner, whose frame and boards run through at an external one.
    `height_beyond`: the neighbour's height at the corner; too low for a frame, it counts as unlined.
    """
    d, t, depth = offset_of(wall, p), p.lining_thickness_mm, p.stud_depth_mm
    lined = neighbour is not None and neighbour.lined and height_beyond >= LEAST_HEIGHT_MM
    if lined and neighbour is not None:
        if nearly_straight(corner_deg):  # equal offsets would have joined: the frame steps
            return End(EndKind.STEP, 0.0, 0.0, 0.0, corner_deg, ordinal, neighbour)
        d_n = offset_of(neighbour, p)
        if _thrown_far(d, d_n, corner_deg):
            return End(EndKind.STEP, 0.0, 0.0, 0.0, corner_deg, ordinal, neighbour)
        sin, cos = math.sin(math.radians(corner_deg)), (0.0 if corner_deg % 180 == 90 else math.cos(math.radians(corner_deg)))
        face = (d_n + d * cos) / sin
        finished = (d_n + t + (d + t) * cos) / sin
        if corner_deg < 180:
            return End(EndKind.INTERNAL_CORNER, face, face, finished, corner_deg, ordinal, neighbour)
        channel = face if left_hand else face + depth * abs(cot(corner_deg / 2))
        return End(EndKind.EXTERNAL_CORNER, face, channel, finished, corner_deg, ordinal, neighbour)
    if corner_deg > STOP_END_OVER_DEG:
        return End(EndKind.STOP_END, t, t, 0.0, corner_deg, ordinal, neighbour)
    # The front of the stud meets a wall that leans in first, its back one that leans away.
    channel = d * cot(corner_deg) if corner_deg <= 90 else (d - depth) * cot(corner_deg)
    return End(EndKind.UNLINED_WALL, d * cot(corner_deg), channel, (d + t) * cot(corner_deg), corner_deg, ordinal, neighbour)
