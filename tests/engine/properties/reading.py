"""A second reading of the setting-out rules about where frames end (F1 to F4), and one long view of walls joined in one line.

Shares no code with the engine. The referees beside this file use it to ask of a layout what the rules ask.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rooms.surveys import Case

from service.engine.inputs import Opening, Room, Wall
from service.engine.parameters import Parameters
from service.engine.results import Finding, Framing, Member, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import STUD_ROLES, Direction, EndKind, Role

NEAR = 0.01
REACHES = 50.0 + NEAR
LOW = 300.0
"""F3: where the room is lower than this the frame ends."""


@dataclass(frozen=True, slots=True)
class End:
    """Where one side of a wall's lining ends, measured inwards from the masonry corner; None where the rules give no figure."""

    kind: EndKind
    board: float | None
    channel: float | None
    finished: float | None
    corner: float


def front_of(wall: Wall, p: Parameters) -> float:
    """Masonry face to the frame's front: d counts from the proudest point."""
    return (p.frame_offset_mm if wall.frame_offset_mm is None else wall.frame_offset_mm) + wall.proud_mm


def neighbours(room: Room, i: int) -> tuple[int | None, int | None]:
    count = len(room.walls)
    left = i - 1 if i else (count - 1 if room.closed and count > 1 else None)
    right = i + 1 if i + 1 < count else (0 if room.closed and count > 1 else None)
    return left, right


def ends_of(room: Room, i: int, p: Parameters) -> tuple[End, End]:
    left, right = neighbours(room, i)
    return (
        _end(room, i, left, room.walls[left].corner_deg if left is not None else 90.0, p, right_hand=True),
        _end(room, i, right, room.walls[i].corner_deg if right is not None else 90.0, p, right_hand=False),
    )


def _end(room: Room, i: int, other: int | None, corner: float, p: Parameters, right_hand: bool) -> End:
    """`right_hand`: this wall stands right of the corner, so at an external one the other's frame runs through."""
    d, t, depth = front_of(room.walls[i], p), p.lining_thickness_mm, p.stud_depth_mm
    theta = math.radians(corner)
    beyond = None if other is None else room.walls[other]
    if abs(corner - 180) <= 5 and beyond and beyond.lined and abs(front_of(beyond, p) - d) < NEAR:
        return End(EndKind.JOINED, 0.0, 0.0, 0.0, corner)
    if other is None or not room.walls[other].lined or _low_beyond(room.walls[other], right_hand):
        if corner > 135:
            return End(EndKind.STOP_END, t, t, 0.0, corner)
        slope = math.cos(theta) / math.sin(theta)
        return End(EndKind.UNLINED_WALL, d * slope, (d if corner <= 90 else d - depth) * slope, (d + t) * slope, corner)
    n = front_of(room.walls[other], p)
    if abs(corner - 180) <= 5:
        return End(EndKind.STEP, None, None, None, corner)
    board = (n + d * math.cos(theta)) / math.sin(theta)
    finished = (n + t + (d + t) * math.cos(theta)) / math.sin(theta)
    if corner < 180:
        return End(EndKind.INTERNAL_CORNER, board, board, finished, corner)
    inset = depth * abs(1 / math.tan(theta / 2)) if right_hand else 0.0
    return End(EndKind.EXTERNAL_CORNER, board, board + inset, finished, corner)


def _low_beyond(wall: Wall, its_right: bool) -> bool:
    """F3: a neighbour too low at the corner has no lining there to meet."""
    return (wall.height_right_mm if its_right else wall.height_left_mm) < LOW


def lowest_and_highest(wall: Wall) -> tuple[float, float]:
    return min(wall.height_left_mm, wall.height_right_mm), max(wall.height_left_mm, wall.height_right_mm)


@dataclass(frozen=True, slots=True)
class Part:
    """One wall of a run; `at` is where its left-hand masonry corner lies along the run."""

    layout: WallLayout
    wall: Wall
    at: float


@dataclass(frozen=True, slots=True)
class Hole:
    opening: Opening
    wall: int
    ordinal: int
    left: float
    right: float
    sill: float
    head: float
    bottom: float
    top: float
    """Sill and head, or the floor and ceiling that they count as reaching (within 50)."""


@dataclass(frozen=True, slots=True)
class Upright:
    """A stud, its parts put together again where it was spliced."""

    member: Member
    parts: tuple[Member, ...]
    x: float
    foot: float
    top: float


class Run:
    """Walls joined in one line, seen as one long wall: x along the run from the first wall's left-hand masonry corner.

    `hidden`: lengths of joined walls left and right that stand wholly behind a neighbour's lining; the masonry goes on there.
    """

    def __init__(self, case: Case, room: int, parts: tuple[Part, ...], framing: Framing, hidden: tuple[float, float]) -> None:
        self.case, self.p, self.room, self.parts = case, case.parameters, room, parts
        ordinals = {part.layout.wall for part in parts}
        self.findings: list[Finding] = [f for f in framing.findings if f.room == room and (f.wall is None or f.wall in ordinals)]
        self.codes = {f.code for f in self.findings}
        before, after = hidden
        self.masonry = (-before, parts[-1].at + parts[-1].wall.length_mm + after)
        first, last = parts[0], parts[-1]
        self.ends = (first.at + first.layout.frame.channel_x0_mm, last.at + last.layout.frame.channel_x1_mm)
        self.board_ends = (first.at + first.layout.frame.x0_mm, last.at + last.layout.frame.x1_mm)
        self.members = [(part, m) for part in parts for m in part.layout.members]
        self.holes = [self._hole(part, n, o) for part in parts for n, o in enumerate(part.wall.openings, 1)]
        self.uprights = list(self._uprights())
        self.name = "+".join(f"{room}/{part.layout.wall}" for part in parts)

    def _hole(self, part: Part, ordinal: int, o: Opening) -> Hole:
        floors, ceilings = zip(*((part.wall.floor_at(x), part.wall.ceiling_at(x)) for x in (o.left_mm, o.right_mm)), strict=True)
        bottom = min(floors) if o.sill_mm - min(floors) <= REACHES else o.sill_mm
        top = max(ceilings) if max(ceilings) - o.head_mm <= REACHES else o.head_mm
        left, right = part.at + o.left_mm, part.at + o.right_mm
        return Hole(o, part.layout.wall, ordinal, left, right, o.sill_mm, o.head_mm, bottom, top)

    def _uprights(self) -> Iterator[Upright]:
        joined: dict[str, list[tuple[Part, Member]]] = {}
        root: dict[str, str] = {}
        for part, m in self.members:
            if m.role in STUD_ROLES and m.direction is Direction.UP:
                root[m.id] = root.get(m.joined_to, m.joined_to) if m.joined_to else m.id
                joined.setdefault(root[m.id], []).append((part, m))
        for group in joined.values():
            part, first = min(group, key=lambda pm: pm[1].y_mm)
            yield Upright(
                first,
                tuple(m for _, m in group),
                part.at + first.x_mm,
                first.y_mm,
                max(m.y_mm + m.length_mm for _, m in group),
            )

    def part_at(self, x: float) -> Part:
        return next((part for part in reversed(self.parts) if part.at <= x), self.parts[0])

    def floor(self, x: float) -> float:
        part = self.part_at(x)
        return part.wall.floor_at(x - part.at)

    def ceiling(self, x: float) -> float:
        part = self.part_at(x)
        return part.wall.ceiling_at(x - part.at)

    def over(self, a: float, b: float) -> tuple[float, float, float, float]:
        """Lowest and highest floor, lowest and highest ceiling from a to b (both are straight between joints)."""
        xs = [a, b] + [x for part in self.parts for x in (part.at - NEAR / 10, part.at) if a < x < b]
        floors, ceilings = [self.floor(x) for x in xs], [self.ceiling(x) for x in xs]
        return min(floors), max(floors), min(ceilings), max(ceilings)

    @property
    def level(self) -> bool:
        low, high, under, top = self.over(*self.masonry)
        return high - low < NEAR and top - under < NEAR

    def found(self, code: FindingCode, hole: Hole | None = None) -> bool:
        return any(
            f.code is code and (hole is None or (f.wall == hole.wall and f.opening in (None, hole.ordinal)))
            for f in self.findings
        )

    def of(self, *roles: Role) -> list[tuple[Part, Member]]:
        return [(part, m) for part, m in self.members if m.role in roles]

    def face(self, u: Upright) -> tuple[float, float]:
        return u.x - self.p.stud_face_mm / 2, u.x + self.p.stud_face_mm / 2


def runs_of(case: Case, framing: Framing) -> list[Run]:
    found = []
    for ordinal, room in enumerate(case.rooms, 1):
        layouts = {layout.wall: layout for layout in framing.layouts if layout.room == ordinal}
        for first in layouts.values():
            left, _ = neighbours(room, first.wall - 1)
            before = layouts.get(left + 1) if left is not None else None
            if first.frame.left is EndKind.JOINED and before is not None and before.frame.right is EndKind.JOINED:
                continue
            parts, at, layout = [], 0.0, first
            while True:
                wall = room.walls[layout.wall - 1]
                parts.append(Part(layout, wall, at))
                at += wall.length_mm
                _, right = neighbours(room, layout.wall - 1)
                following = layouts.get(right + 1) if right is not None else None
                if layout.frame.right is not EndKind.JOINED or following is None or following.frame.left is not EndKind.JOINED:
                    break
                layout = following
            hidden = _hidden(room, parts[0].layout.wall - 1, layouts, case.parameters, right=False)
            hidden_after = _hidden(room, parts[-1].layout.wall - 1, layouts, case.parameters, right=True)
            found.append(Run(case, ordinal, tuple(parts), framing, (hidden, hidden_after)))
    return found


def _hidden(room: Room, i: int, layouts: dict[int, WallLayout], p: Parameters, *, right: bool) -> float:
    length, start = 0.0, i
    while ends_of(room, i, p)[right].kind is EndKind.JOINED:
        i = neighbours(room, i)[right]  # type: ignore[assignment]
        if i + 1 in layouts or i == start:
            break
        length += room.walls[i].length_mm
    return length
