"""Runs: lined walls that follow each other in one line are set out as one, over their joined length.

A run has its own x, from the left-hand masonry corner of its first wall. Heights are read from the wall that stands at x, carried
on in a straight line past the run's ends, where a frame passes an external corner.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from service.engine.geometry.corners import LEAST_HEIGHT_MM, End, end_at, nearly_straight, offset_of
from service.engine.inputs import REACHES_MM, Opening, Room, Wall
from service.engine.parameters import Parameters
from service.engine.units import EPSILON


@dataclass(frozen=True, slots=True)
class WallSpan:
    """A wall's place in its run: its ordinal in the room and where it starts."""

    ordinal: int
    wall: Wall
    start_mm: float

    @property
    def end_mm(self) -> float:
        return self.start_mm + self.wall.length_mm

    def floor_at(self, x: float) -> float:
        return self.wall.floor_at(x - self.start_mm)

    def ceiling_at(self, x: float) -> float:
        return self.wall.ceiling_at(x - self.start_mm)

    @property
    def floor_slope(self) -> float:
        return (self.wall.floor_right_mm - self.wall.floor_left_mm) / self.wall.length_mm

    @property
    def ceiling_slope(self) -> float:
        return self.floor_slope + (self.wall.height_right_mm - self.wall.height_left_mm) / self.wall.length_mm


@dataclass(frozen=True, slots=True)
class PlacedOpening:
    """An opening in its run's x. `wall`, `ordinal`: whose it is and its place in that wall's list."""

    opening: Opening
    wall: int
    ordinal: int
    left_mm: float
    right_mm: float
    sill_mm: float
    head_mm: float
    reaches_floor: bool
    reaches_ceiling: bool

    def overlaps_x(self, a: float, b: float) -> bool:
        return self.left_mm < b - EPSILON and self.right_mm > a + EPSILON


@dataclass(frozen=True, slots=True)
class Run:
    room: int
    spans: tuple[WallSpan, ...]
    offset_mm: float
    left: End
    right: End
    openings: tuple[PlacedOpening, ...]

    @property
    def length_mm(self) -> float:
        return self.spans[-1].end_mm

    @property
    def x0_mm(self) -> float:
        return self.left.face_mm

    @property
    def x1_mm(self) -> float:
        return self.length_mm - self.right.face_mm

    def span_at(self, x: float) -> WallSpan:
        """The wall that stands at x: at a joint the right-hand one, past the ends the last one."""
        for span in reversed(self.spans):
            if x >= span.start_mm - EPSILON:
                return span
        return self.spans[0]

    def pieces_between(self, a: float, b: float) -> Iterator[tuple[WallSpan, float, float]]:
        """The walls from a to b with the stretch of x on each; the first and last carry on past the run's ends."""
        if len(self.spans) == 1:
            yield self.spans[0], a, b
            return
        last = len(self.spans) - 1
        for i, span in enumerate(self.spans):
            start = a if i == 0 else max(a, span.start_mm)
            end = b if i == last else min(b, span.end_mm)
            if start < end - EPSILON or (start <= end and a == b):
                yield span, start, end

    def highest_ceiling(self, a: float, b: float) -> float:
        return max(max(s.ceiling_at(u), s.ceiling_at(v)) for s, u, v in self.pieces_between(a, b))

    def lowest_floor(self, a: float, b: float) -> float:
        return min(min(s.floor_at(u), s.floor_at(v)) for s, u, v in self.pieces_between(a, b))

    def greatest_height(self, a: float, b: float) -> float:
        return max(max(s.ceiling_at(x) - s.floor_at(x) for x in (u, v)) for s, u, v in self.pieces_between(a, b))


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a run that is high enough to carry a frame (F3), with its ends. Positions in the run's x."""

    run: Run
    x0_mm: float
    x1_mm: float
    channel_x0_mm: float
    channel_x1_mm: float
    finished_x0_mm: float
    finished_x1_mm: float
    left: End | None  # None: ends where the ceiling is too low
    right: End | None

    @property
    def length_mm(self) -> float:
        """f of rule F4: what channels and studs can use."""
        return self.channel_x1_mm - self.channel_x0_mm

    @property
    def openings(self) -> tuple[PlacedOpening, ...]:
        return tuple(o for o in self.run.openings if o.overlaps_x(self.x0_mm, self.x1_mm))

    def span_at(self, x: float) -> WallSpan:
        """The wall to which something at x belongs: of those that this stretch stands on."""
        return self.run.span_at(min(max(x, self.x0_mm), self.x1_mm - 2 * EPSILON))


def runs_of(number: int, room: Room, p: Parameters) -> list[Run]:
    """The runs of one room (ordinal `number`), in survey order of their first walls."""
    walls, n = room.walls, len(room.walls)

    def follows(i: int) -> bool:
        """Whether wall i (from 0) carries on the wall before it."""
        if i == 0 and not room.closed:
            return False
        before, wall = walls[i - 1], walls[i]
        return before.lined and wall.lined and nearly_straight(before.corner_deg) and offset_of(before, p) == offset_of(wall, p)

    if not walls:
        return []
    starts = [i for i in range(n) if not follows(i)] or [0]
    runs = []
    for start in starts:
        if not walls[start].lined:
            continue
        members = [start]
        while len(members) < n and (members[-1] + 1 < n or room.closed):
            following = (members[-1] + 1) % n
            if following in starts or not follows(following):
                break
            members.append(following)
        runs.append(_run(number, room, members, p))
    return runs


def _run(number: int, room: Room, members: list[int], p: Parameters) -> Run:
    walls, n = room.walls, len(room.walls)
    spans, start = [], 0.0
    for i in members:
        spans.append(WallSpan(i + 1, walls[i], start))
        start += walls[i].length_mm
    first, last = members[0], members[-1]
    before = walls[first - 1] if first > 0 or room.closed else None
    after = walls[(last + 1) % n] if last + 1 < n or room.closed else None
    left = end_at(
        walls[first], before, None if before is None else (first - 1) % n + 1, 90.0 if before is None else before.corner_deg, p,
        left_hand=False, height_beyond=0.0 if before is None else before.height_right_mm,
    )  # fmt: skip
    right = end_at(
        walls[last], after, None if after is None else (last + 1) % n + 1, 90.0 if after is None else walls[last].corner_deg, p,
        left_hand=True, height_beyond=0.0 if after is None else after.height_left_mm,
    )  # fmt: skip
    openings = [_placed(span, k, opening) for span in spans for k, opening in enumerate(span.wall.openings, start=1)]
    openings.sort(key=lambda o: (o.left_mm, o.right_mm, o.sill_mm))
    return Run(number, tuple(spans), offset_of(walls[first], p), left, right, tuple(openings))


def _placed(span: WallSpan, ordinal: int, opening: Opening) -> PlacedOpening:
    left, right = span.start_mm + opening.left_mm, span.start_mm + opening.right_mm
    below = max(opening.sill_mm - span.floor_at(x) for x in (left, right))
    above = max(span.ceiling_at(x) - opening.head_mm for x in (left, right))
    return PlacedOpening(
        opening, span.ordinal, ordinal, left, right, opening.sill_mm, opening.head_mm, below <= REACHES_MM, above <= REACHES_MM
    )


def stretches_of(run: Run) -> list[Stretch]:
    """The parts of a run where the height is at least 300 (F3); most runs are one stretch."""
    x0, x1 = run.x0_mm, run.x1_mm
    if x1 <= x0:
        return [_stretch(run, x0, x1, low_left=False, low_right=False)]
    parts: list[tuple[float, float]] = []
    for span, a, b in run.pieces_between(x0, x1):
        ha, hb = (span.ceiling_at(x) - span.floor_at(x) for x in (a, b))
        if max(ha, hb) < LEAST_HEIGHT_MM:
            continue
        cross = a + (b - a) * (LEAST_HEIGHT_MM - ha) / (hb - ha) if ha != hb else a
        u, v = (cross if ha < LEAST_HEIGHT_MM else a), (cross if hb < LEAST_HEIGHT_MM else b)
        if parts and abs(parts[-1][1] - u) < EPSILON:
            parts[-1] = (parts[-1][0], v)
        else:
            parts.append((u, v))
    return [_stretch(run, u, v, low_left=u > x0 + EPSILON, low_right=v < x1 - EPSILON) for u, v in parts]


def _stretch(run: Run, u: float, v: float, *, low_left: bool, low_right: bool) -> Stretch:
    length = run.length_mm
    return Stretch(
        run, u, v,
        u if low_left else run.left.channel_mm,
        v if low_right else length - run.right.channel_mm,
        u if low_left else run.left.finished_mm,
        v if low_right else length - run.right.finished_mm,
        None if low_left else run.left,
        None if low_right else run.right,
    )  # fmt: skip
