"""A stretch with its frame as it grows, stage by stage, and how stretches meet at corners."""

from dataclasses import dataclass, field

from service.engine.framing.brackets import Hold
from service.engine.framing.pieces import Piece, StudLine, Upright
from service.engine.framing.rails import RailStretch
from service.engine.geometry.lined import LinedStretch, StudAt
from service.engine.geometry.runs import Stretch, WallSpan
from service.engine.units import EPSILON
from service.vocabulary import EndKind, Role

CORNERS = (EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER)
CORNERS_AND_STEPS = (*CORNERS, EndKind.STEP)


@dataclass(slots=True, eq=False)
class FramedStretch:
    """A stretch with its frame as it grows, stage by stage."""

    stretch: Stretch
    lines: list[StudLine]
    profile: list[Piece] = field(default_factory=list)
    channels: list[Piece] = field(default_factory=list)
    rails: list[RailStretch] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)

    @property
    def pieces(self) -> list[Piece]:
        studs = [piece for line in self.lines for upright in line.uprights for piece in upright.pieces]
        return [*studs, *(piece for rail in self.rails for piece in rail.pieces), *self.channels, *self.profile]

    def end_stud(self, *, right: bool) -> Upright | None:
        line = self.lines[-1 if right else 0] if self.lines else None
        middle = (self.stretch.channel_x0_mm + self.stretch.channel_x1_mm) / 2
        if line is None or line.role is not Role.END_STUD or (line.x_mm > middle) is not right:
            return None
        return next((u for u in line.uprights if u.full), None)


def stands_on(stretch: Stretch, span: WallSpan) -> bool:
    first, last = span is stretch.run.spans[0], span is stretch.run.spans[-1]
    start = stretch.x0_mm if first else max(stretch.x0_mm, span.start_mm)
    end = stretch.x1_mm if last else min(stretch.x1_mm, span.end_mm)
    return end - start > EPSILON


def beyond_right(part: FramedStretch, framed: list[FramedStretch], kinds: tuple[EndKind, ...] = CORNERS) -> FramedStretch | None:
    """The frame that meets this one at its right-hand corner, where that is of one of these kinds."""
    end = part.stretch.right
    if end is None or end.kind not in kinds:
        return None
    return next((f for f in framed if f.stretch.left is not None and f.stretch.run.spans[0].ordinal == end.neighbour), None)


def beyond_left(part: FramedStretch, framed: list[FramedStretch], kinds: tuple[EndKind, ...] = CORNERS) -> FramedStretch | None:
    return next((f for f in framed if beyond_right(f, framed, kinds) is part), None)


def as_lined(part: FramedStretch, framed: list[FramedStretch]) -> LinedStretch:
    """What the further stages need to know of a framed stretch."""
    studs = tuple(
        StudAt(line.x_mm, line.role is Role.JAMB_STUD, tuple((u.y_mm, u.top_mm) for u in line.uprights)) for line in part.lines
    )
    return LinedStretch(
        part.stretch,
        studs,
        goes_on_left=beyond_left(part, framed, CORNERS_AND_STEPS) is not None,
        goes_on_right=beyond_right(part, framed, CORNERS_AND_STEPS) is not None,
    )
