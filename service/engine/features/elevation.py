"""What a feature can get in the way of: the finished face, its openings, the studs behind it, in the run's x."""

import math
from dataclasses import dataclass

from service.engine.features.area import Area
from service.engine.geometry.lined import LinedStretch, StudAt
from service.engine.geometry.runs import PlacedOpening, Run
from service.engine.parameters import Parameters

NOWHERE = math.inf


@dataclass(frozen=True, slots=True)
class Elevation:
    """`x0_mm`, `x1_mm`: ends of the finished face; boards reach at least as far. `studs`: every face, over its own height."""

    run: Run
    x0_mm: float
    x1_mm: float
    floor_gap_mm: float
    lines: tuple[StudAt, ...]
    studs: tuple[Area, ...]
    openings: tuple[tuple[PlacedOpening, Area], ...]

    def margins(self, area: Area) -> dict[str, float]:
        """How much of the face is left beside, under and over an area; under 0 where it stands past that edge."""
        pieces = list(self.run.pieces_between(area.x0_mm, area.x1_mm))
        foot = max(max(span.floor_at(a), span.floor_at(b)) for span, a, b in pieces) + self.floor_gap_mm
        top = min(min(span.ceiling_at(a), span.ceiling_at(b)) for span, a, b in pieces)
        return {
            "left-hand end": area.x0_mm - self.x0_mm,
            "right-hand end": self.x1_mm - area.x1_mm,
            "foot": area.y0_mm - foot,
            "top": top - area.y1_mm,
        }

    def met(self, area: Area) -> PlacedOpening | None:
        """The first opening that the area overlaps."""
        return next((o for o, hole in self.openings if area.overlaps(hole)), None)


def elevation_of(lined: LinedStretch, p: Parameters) -> Elevation:
    stretch, half = lined.stretch, p.stud_face_mm / 2
    return Elevation(
        run=stretch.run,
        x0_mm=max(stretch.x0_mm, stretch.finished_x0_mm),
        x1_mm=min(stretch.x1_mm, stretch.finished_x1_mm),
        floor_gap_mm=p.board_floor_gap_mm,
        lines=lined.studs,
        studs=tuple(Area(s.x_mm - half, s.x_mm + half, low, high) for s in lined.studs for low, high in s.strips),
        openings=tuple((o, _hole(o)) for o in stretch.run.openings),
    )


def _hole(o: PlacedOpening) -> Area:
    """Without end where it reaches floor or ceiling."""
    low, high = -NOWHERE if o.reaches_floor else o.sill_mm, NOWHERE if o.reaches_ceiling else o.head_mm
    return Area(o.left_mm, o.right_mm, low, high)
