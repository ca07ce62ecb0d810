"""A random room with features, framed and furnished, as the properties ask of it: members and walls rather than stud lines."""

from dataclasses import dataclass
from functools import cached_property

from insulation.walls_by_hand import STOCK
from rooms.surveys import Case

from service.engine.features.place import FeatureWork, place_features
from service.engine.framing.frame import set_out_frame
from service.engine.geometry.lined import LinedStretch
from service.engine.inputs import Feature, Opening, Wall
from service.engine.parameters import Parameters
from service.engine.results import Finding, WallLayout
from service.vocabulary import ROLE_COMPONENTS, STUD_ROLES, Direction, FeatureKind

THROUGH = (FeatureKind.SOCKET, FeatureKind.SWITCH, FeatureKind.PIPE, FeatureKind.VENT)
Box = tuple[float, float, float, float]
"""x0, x1, y0, y1."""


def meet(a: Box, b: Box, by: float = 0.0) -> bool:
    """Whether two boxes come nearer to each other than `by`, both along and up."""
    return a[0] < b[1] + by - 1e-4 and b[0] < a[1] + by - 1e-4 and a[2] < b[3] + by - 1e-4 and b[2] < a[3] + by - 1e-4


@dataclass(frozen=True)
class Answer:
    """One stretch, all in its run's x; read off the layouts."""

    case: Case
    lined: LinedStretch
    layouts: tuple[WallLayout, ...]
    work: FeatureWork

    @property
    def p(self) -> Parameters:
        return self.case.parameters

    @cached_property
    def starts(self) -> dict[int, float]:
        return {span.ordinal: span.start_mm for span in self.lined.stretch.run.spans}

    def wall(self, ordinal: int) -> Wall:
        return self.case.room.walls[ordinal - 1]

    @cached_property
    def walls(self) -> list[int]:
        """Those of the run that carry this frame."""
        return [layout.wall for layout in self.layouts if layout.wall in self.starts]

    @cached_property
    def studs(self) -> list[Box]:
        half = self.p.stud_face_mm / 2
        return [
            (m.x_mm + self.starts[m.wall] - half, m.x_mm + self.starts[m.wall] + half, m.y_mm, m.y_mm + m.length_mm)
            for layout in self.layouts
            if layout.wall in self.starts
            for m in layout.members
            if m.role in STUD_ROLES and m.direction is Direction.UP
        ]

    @cached_property
    def rails(self) -> list[Box]:
        return [
            (m.x_mm + self.starts[m.wall], m.x_mm + self.starts[m.wall] + m.length_mm, m.y_mm, m.y_mm + self.p.stud_face_mm)
            for m in self.work.supports
        ]

    @cached_property
    def cuts(self) -> list[Box]:
        return [(c.x0_mm, c.x1_mm, c.y0_mm, c.y1_mm) for c in self.work.cuts]

    @cached_property
    def openings(self) -> list[Box]:
        return [_box(o, start) for ordinal, start in self.starts.items() for o in self.wall(ordinal).openings]

    def features(self) -> list[tuple[int, int, Feature]]:
        """Wall, ordinal and feature of all on the run."""
        return [(w, k, f) for w in self.starts for k, f in enumerate(self.wall(w).features, start=1)]

    def about(self, wall: int, ordinal: int) -> list[Finding]:
        """What is said of one feature: a sentence begins with its name."""
        return [f for f in self.work.findings if f.wall == wall and f.message.split(")")[0].endswith(f"(feature {ordinal}")]


def _box(o: Opening, start: float) -> Box:
    return o.left_mm + start, o.right_mm + start, o.sill_mm, o.head_mm


def answers(case: Case) -> list[Answer]:
    frame = set_out_frame(case.rooms, case.parameters, ROLE_COMPONENTS, STOCK)
    return [
        Answer(case, lined, frame.framing.layouts, place_features(lined, case.room, case.parameters, ROLE_COMPONENTS))
        for lined in frame.lined
    ]
