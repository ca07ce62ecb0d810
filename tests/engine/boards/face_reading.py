"""A second reading of rules B1 and B5: the face that boards must cover, as polygons, and the boards as they were cut.

Takes from the engine only where a framed stretch begins and ends, which stud lines are an opening's and what features cut, which
have referees of their own; ends of boards at corners, laps at openings and what reaches floor and ceiling are read again here.
x runs along the run of joined walls.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from shapely import set_precision
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from boards.boarded import BoardedCase
from service.engine.boards.board import Boarding
from service.engine.framing.frame import Frame
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import Run
from service.engine.inputs import Opening, Wall
from service.engine.parameters import Parameters
from service.engine.results import Finding, FlatPiece
from service.vocabulary import STUD_ROLES, EndKind, OpeningKind, PieceRole

FAR = 100_000.0
STATED_MM = 0.06
"""Widths of pieces are stated to 0.1: an edge within this of a place where one may be is meant to be there; of two such places
the one where the piece has its stated area."""
NEAR = 0.01


def on_grid(shape: BaseGeometry) -> BaseGeometry:
    """Corners moved by less than 0.00001 mm, so that edges which float noise holds apart are one."""
    return set_precision(shape, 1e-5)


@dataclass(frozen=True, slots=True)
class Hole:
    """An opening in its run's x, and what it takes out of the face (`None`: its linings would fill it)."""

    opening: Opening
    wall: int
    ordinal: int
    left: float
    right: float
    cut: tuple[float, float, float, float] | None
    on_floor: bool
    at_ceiling: bool
    lined_sill: bool

    @property
    def through(self) -> bool:
        """Leaves nothing above or below."""
        return self.on_floor and self.at_ceiling and self.cut is not None


@dataclass(frozen=True, slots=True)
class CutBoard:
    """A board with its polygon in the run's x."""

    piece: FlatPiece
    polygon: BaseGeometry
    x0: float
    x1: float


@dataclass(slots=True)
class Faced:
    """A run of joined walls with all its stretches: what must be boarded, and the boards."""

    case: BoardedCase
    run: Run
    stretches: list[LinedStretch]
    holes: list[Hole] = field(default_factory=list)
    ends: list[tuple[float, float]] = field(default_factory=list)
    stud_lines: list[float] = field(default_factory=list)
    jamb_lines: list[float] = field(default_factory=list)
    external_lines: list[float] = field(default_factory=list)
    boards: list[CutBoard] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def p(self) -> Parameters:
        return self.case.p

    @property
    def name(self) -> str:
        return f"{self.run.room}/" + "+".join(str(span.ordinal) for span in self.run.spans)

    def layer(self, number: int) -> list[CutBoard]:
        return [b for b in self.boards if b.piece.layer == number]

    def face(self) -> BaseGeometry:
        gap = self.p.board_floor_gap_mm
        parts = [
            Polygon([(u, span.floor_at(u) + gap), (v, span.floor_at(v) + gap), (v, span.ceiling_at(v)), (u, span.ceiling_at(u))])
            for a, b in self.ends
            for span, u, v in self._spans(a, b)
        ]
        cuts = [box(a, low, b, high) for a, low, b, high in (h.cut for h in self.holes if h.cut)]
        cuts += [box(f.x0_mm, f.y0_mm, f.x1_mm, f.y1_mm) for lined in self.stretches for f in lined.cuts]
        return on_grid(unary_union(parts).difference(unary_union(cuts)))

    def _spans(self, a: float, b: float) -> Iterator[tuple]:  # type: ignore[type-arg]
        """The walls between a and b; the first and last carry on past the run's ends, where boards pass an outer corner."""
        last = len(self.run.spans) - 1
        for i, span in enumerate(self.run.spans):
            u = a if i == 0 else max(a, span.start_mm)
            v = b if i == last else min(b, span.end_mm)
            if v - u > 1e-9:
                yield span, u, v

    def slopes_at(self, y: float) -> list[float]:
        """Where a sloping floor or ceiling passes height y: a piece may end in a point there."""
        found = []
        for span in self.run.spans:
            for rises, at in (
                (span.floor_slope, span.floor_at(0) + self.p.board_floor_gap_mm),
                (span.ceiling_slope, span.ceiling_at(0)),
            ):
                if abs(rises) > 1e-9:
                    found.append((y - at) / rises)
        return found

    def segments(self) -> list[tuple[float, float]]:
        """The stretches of face between openings that leave nothing above or below."""
        free = list(self.ends)
        for hole in (h for h in self.holes if h.through and h.cut):
            a, _, b, _ = hole.cut  # type: ignore[misc]
            free = [(u, v) for s, e in free for u, v in ((s, min(e, a)), (max(s, b), e)) if v - u > NEAR]
        return sorted(free)

    def wall_at(self, x: float) -> int:
        return next((s.ordinal for s in reversed(self.run.spans) if x >= s.start_mm - NEAR), self.run.spans[0].ordinal)

    def found(self, code: str, x: float) -> bool:
        """At the joint of two walls either may say it."""
        walls = {self.wall_at(x - 1), self.wall_at(x + 1)}
        return any(f.code == code and f.wall in walls for f in self.findings)


def _hole(start: float, wall: Wall, number: int, ordinal: int, o: Opening, p: Parameters) -> Hole:
    edges = (o.offset_mm, o.offset_mm + o.width_mm)
    on_floor = all(o.sill_mm - wall.floor_at(x) <= 50 + 1e-9 for x in edges)
    at_ceiling = all(wall.ceiling_at(x) - (o.sill_mm + o.height_mm) <= 50 + 1e-9 for x in edges)
    hearth = o.kind is OpeningKind.HEARTH
    v = 0.0 if hearth else p.reveal_board_thickness_mm
    lined_sill = o.board_sill and not on_floor and not hearth
    low = -FAR if on_floor else o.sill_mm + (v if lined_sill else 0.0)
    high = FAR if at_ceiling else o.sill_mm + o.height_mm - v
    left, right = start + edges[0], start + edges[1]
    open_there = right - left > 2 * v + 1e-6 and high - low > 1e-6
    cut = (left + v, low, right - v, high) if open_there else None
    return Hole(o, number, ordinal, left, right, cut, on_floor, at_ceiling, lined_sill)


def _ends(lined: LinedStretch, p: Parameters) -> tuple[float, float]:
    """B1: where boards begin and end, all layers alike."""
    stretch, t = lined.stretch, p.lining_thickness_mm
    x0, x1 = stretch.x0_mm, stretch.x1_mm
    if lined.meets_left and stretch.left is not None and stretch.left.kind is EndKind.INTERNAL_CORNER:
        x0 += t / math.tan(math.radians(stretch.left.corner_deg) / 2)
    if lined.meets_right and stretch.right is not None and stretch.right.kind is EndKind.EXTERNAL_CORNER:
        x1 += t * abs(1 / math.tan(math.radians(stretch.right.corner_deg) / 2))
    return x0, x1


def faced_runs(case: BoardedCase, frame: Frame, boarding: Boarding) -> list[Faced]:
    runs: dict[tuple[int, int], Faced] = {}
    for lined in frame.lined:
        run = lined.stretch.run
        faced = runs.setdefault((run.room, run.spans[0].ordinal), Faced(case, run, []))
        faced.stretches.append(lined)
        faced.ends.append(_ends(lined, case.p))
    for faced in runs.values():
        _furnish(faced, frame, boarding)
    return list(runs.values())


def _furnish(faced: Faced, frame: Frame, boarding: Boarding) -> None:
    run, room = faced.run, faced.case.case.rooms[faced.run.room - 1]
    starts = {span.ordinal: span.start_mm for span in run.spans}
    for number, start in starts.items():
        wall = room.walls[number - 1]
        faced.holes += [_hole(start, wall, number, i, o, faced.p) for i, o in enumerate(wall.openings, 1)]
    faced.findings = [f for f in boarding.findings if f.room == run.room and f.wall in starts]
    uprights = [
        starts[layout.wall] + m.x_mm
        for layout in frame.framing.layouts
        if layout.room == run.room and layout.wall in starts
        for m in layout.members
        if m.role in STUD_ROLES
    ]
    faced.stud_lines = sorted({round(x, 3) for x in uprights})
    faced.jamb_lines = sorted({round(stud.x_mm, 3) for lined in faced.stretches for stud in lined.studs if stud.jamb})
    outer = (EndKind.EXTERNAL_CORNER, EndKind.STOP_END)
    for lined, (a, b) in zip(faced.stretches, faced.ends, strict=True):
        lines = [x for x in faced.stud_lines if a - 200 < x < b + 200]
        if lines and lined.stretch.left is not None and lined.stretch.left.kind in outer:
            faced.external_lines.append(lines[0])
        if lines and lined.stretch.right is not None and lined.stretch.right.kind in outer:
            faced.external_lines.append(lines[-1])
    pieces = [b for b in boarding.boards if b.room == run.room and b.wall in starts and b.role is PieceRole.BOARD]
    places = [x for end in faced.ends for x in end]
    places += [x for h in faced.holes if h.cut for x in (h.cut[0], h.cut[2])]
    places += [starts[b.wall] + b.x_mm for b in pieces]
    places += [
        x for b in pieces for y in (b.y_mm, b.y_mm + b.height_left_mm, b.y_mm + b.height_right_mm) for x in faced.slopes_at(y)
    ]
    places += [x for h in faced.holes if h.cut for y in (h.cut[1], h.cut[3]) for x in faced.slopes_at(y)]
    features = [f for lined in faced.stretches for f in lined.cuts]
    places += [x for f in features for x in (f.x0_mm, f.x1_mm, *faced.slopes_at(f.y0_mm), *faced.slopes_at(f.y1_mm))]
    places += [x for span in run.spans for x in (span.start_mm, span.end_mm)]
    for b in pieces:
        x0 = starts[b.wall] + b.x_mm
        ends = {x for x in places if abs(x - x0 - b.width_mm) <= STATED_MM} or {x0 + b.width_mm}
        meant = [CutBoard(b, _polygon(b, x0, x1), x0, x1) for x1 in sorted(ends)]
        faced.boards.append(min(meant, key=lambda cut: abs(cut.polygon.area - b.area_mm2)))


def _polygon(b: FlatPiece, x0: float, x1: float) -> BaseGeometry:
    y = b.y_mm
    left, right = max(b.foot_left_mm, b.height_left_mm), max(b.foot_right_mm, b.height_right_mm)  # a point is one, not a crossing
    corners = [(x0, y + b.foot_left_mm), (x1, y + b.foot_right_mm), (x1, y + right), (x0, y + left)]
    if b.outline_mm:
        far = max(x for x, _ in b.outline_mm)
        corners = [(x1 if x == far else x0 + x, y + up) for x, up in b.outline_mm]
    whole = Polygon([(round(x, 5), round(up, 5)) for x, up in corners])  # where it ends in a point, noise would cross its edges
    cuts = [box(x0 + c.x_mm, y + c.y_mm, x0 + c.x_mm + c.width_mm, y + c.y_mm + c.height_mm) for c in b.cut_outs]
    return on_grid(whole.difference(unary_union(cuts)) if cuts else whole)
