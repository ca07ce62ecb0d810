"""Where stud lines stand along a stretch: rules F4, S1, S2, S3, S5.

Lines claim their place in order of need: ends, jambs and piers, the grid, the extra stud of an external corner, midway studs. A
line whose centre would be closer than a stud face to one that is there already is left out.
"""

import math
from bisect import bisect_left, insort
from collections.abc import Callable, Iterator
from itertools import pairwise

from service.engine.findings import finding
from service.engine.geometry.corners import End, offset_of
from service.engine.geometry.runs import PlacedOpening, Stretch
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON, ceil_div
from service.finding_codes import FindingCode
from service.vocabulary import EndKind, Role

CORNER_STUD_WITHIN_MM = 150.0
"""S1: at a lined external corner some stud stands this near to the masonry corner."""

Line = tuple[float, Role, tuple[str, ...]]
Jamb = tuple[float, tuple[str, ...], PlacedOpening]


class Refused(Exception):
    """This stretch cannot be framed; the finding says why and what would help."""

    def __init__(self, found: Finding) -> None:
        super().__init__(found.message)
        self.finding = found


class _Lines:
    """Stud lines by x; none nearer to another than one stud face."""

    def __init__(self, face: float) -> None:
        self._face = face
        self._xs: list[float] = []
        self._by_x: dict[float, Line] = {}

    def nearest(self, x: float) -> float:
        i = bisect_left(self._xs, x)
        return min((abs(x - other) for other in self._xs[max(0, i - 1) : i + 1]), default=float("inf"))

    def claim(self, x: float, role: Role, *rules: str) -> bool:
        if self.nearest(x) < self._face - EPSILON:
            return False
        insort(self._xs, x)
        self._by_x[x] = (x, role, rules)
        return True

    def __iter__(self) -> Iterator[Line]:
        return iter([self._by_x[x] for x in self._xs])


def set_out_lines(stretch: Stretch, p: Parameters, carries: Callable[[float], bool]) -> tuple[list[Line], list[Finding]]:
    """The stud lines of a stretch from left to right, and what was found.

    `carries(x)`: whether a stud of any length can stand at x (none can across floor-to-ceiling glazing).

    Raises:
        Refused: no room for a frame (F4), or an opening that lies behind a neighbour's lining (S2).
    """
    room = stretch.run.room
    middle = stretch.run.span_at((stretch.channel_x0_mm + stretch.channel_x1_mm) / 2).ordinal
    w, length, found = p.stud_face_mm, stretch.length_mm, []
    if length < w - EPSILON:
        raise Refused(
            finding(
                FindingCode.NO_ROOM_FOR_FRAME,
                f"No room for a frame: {_left_over(length)} and a stud is {w:g} mm wide. "
                "Leave this wall unlined or close the recess.",
                room, middle,
            )
        )  # fmt: skip
    lines = _Lines(w)
    if length < 2 * w - EPSILON:
        lines.claim((stretch.channel_x0_mm + stretch.channel_x1_mm) / 2, Role.STUD, "F4")
        message = f"The frame is {length:.0f} mm long, too short for two studs: one stands midway."
        found.append(finding(FindingCode.SINGLE_STUD, message, room, middle))
        return [line for line in lines if carries(line[0])], found
    ends_at, jambs = _ends_and_jambs(stretch, p, found)
    for x in ends_at:
        lines.claim(x, Role.END_STUD, "S1")
    for x, rules, opening in jambs:
        if not lines.claim(x, Role.JAMB_STUD, *rules) and lines.nearest(x) > EPSILON:
            message = "Another jamb stud leaves no room for one at this opening's edge: a bonded packer carries the board edge."
            found.append(finding(FindingCode.NIB_PACKER, message, room, opening.wall, opening.ordinal))
    _grid(stretch, p, lines)
    for at, centre in _external_corners(stretch, w):
        within = stretch.channel_x0_mm - EPSILON <= centre - w / 2 and centre + w / 2 <= stretch.channel_x1_mm + EPSILON
        clear = not any(o.overlaps_x(centre - w / 2, centre + w / 2) for o in stretch.openings)
        if within and clear and lines.nearest(at) > CORNER_STUD_WITHIN_MM:
            lines.claim(centre, Role.EXTRA_STUD, "S1")
    _midway(p, lines, carries)
    return [line for line in lines if carries(line[0])], found


def _left_over(length: float) -> str:
    return f"{length:.0f} mm are left between its ends" if length >= 0 else f"its ends pass each other by {-length:.0f} mm"


def _grid(stretch: Stretch, p: Parameters, lines: _Lines) -> None:
    least, most = stretch.channel_x0_mm + p.stud_face_mm / 2, stretch.channel_x1_mm - p.stud_face_mm / 2
    k = 1
    while (x := stretch.x0_mm + k * p.stud_centres_mm) <= most + EPSILON:
        if x >= least - EPSILON:
            lines.claim(x, Role.STUD, "S3")
        k += 1


def _midway(p: Parameters, lines: _Lines, carries: Callable[[float], bool]) -> None:
    """S5: neighbouring lines too far apart get one more between them, where a stud can stand there."""
    most = p.stud_centres_mm + p.centres_tolerance_mm
    standing = [x for x, _, _ in lines if carries(x)]
    for a, b in pairwise(standing):
        parts = ceil_div(b - a, most)
        for i in range(1, parts):
            x = a + (b - a) * i / parts
            if carries(x):
                lines.claim(x, Role.EXTRA_STUD, "S5")


def _external_corners(stretch: Stretch, w: float) -> list[tuple[float, float]]:
    """Masonry corner and centre of a stud flush with it, for each lined external corner of the stretch."""
    corners = []
    if stretch.left is not None and stretch.left.kind is EndKind.EXTERNAL_CORNER:
        corners.append((0.0, w / 2))
    if stretch.right is not None and stretch.right.kind is EndKind.EXTERNAL_CORNER:
        length = stretch.run.length_mm
        corners.append((length, length - w / 2))
    return corners


def _ends_and_jambs(stretch: Stretch, p: Parameters, found: list[Finding]) -> tuple[list[float], list[Jamb]]:
    """S1, S2: centres of end studs and of jamb and pier studs, by the width of each nib and pier."""
    w, openings = p.stud_face_mm, stretch.openings
    x0, x1 = stretch.channel_x0_mm, stretch.channel_x1_mm
    left_end, right_end = True, True
    _refuse_hidden(stretch, p)
    jambs: list[Jamb] = []
    for o in openings:
        beyond = [b.right_mm for b in openings if b.right_mm <= o.left_mm + EPSILON]
        if not beyond:
            behind = o.left_mm < max(stretch.x0_mm, stretch.finished_x0_mm) - EPSILON
            keep, jamb = _nib(o, o.left_mm - x0, stretch.left, behind, stretch, p, found)
            left_end &= keep
            if jamb:
                jambs.append((o.left_mm - w / 2, ("S2",), o))
        if not any(b.left_mm >= o.right_mm - EPSILON for b in openings):
            behind = o.right_mm > min(stretch.x1_mm, stretch.finished_x1_mm) + EPSILON
            keep, jamb = _nib(o, x1 - o.right_mm, stretch.right, behind, stretch, p, found)
            right_end &= keep
            if jamb:
                jambs.append((o.right_mm + w / 2, ("S2",), o))
    jambs += _piers(openings, stretch.run.room, w, found)
    ends = ([x0 + w / 2] if left_end else []) + ([x1 - w / 2] if right_end else [])
    return ends, sorted(jambs, key=lambda j: (j[0], j[2].wall, j[2].ordinal))


def _refuse_hidden(stretch: Stretch, p: Parameters) -> None:
    """An opening wholly behind the lining beside it."""
    for o in stretch.run.openings:
        if stretch.left is not None and stretch.left.blocks_openings and o.right_mm <= stretch.x0_mm + EPSILON:
            raise Refused(_behind(o, stretch.left, stretch, p))
        if stretch.right is not None and stretch.right.blocks_openings and o.left_mm >= stretch.x1_mm - EPSILON:
            raise Refused(_behind(o, stretch.right, stretch, p))


def _nib(
    o: PlacedOpening, nib: float, end: End | None, behind: bool, stretch: Stretch, p: Parameters, found: list[Finding]
) -> tuple[bool, bool]:
    """Whether the end stud stands, and whether a jamb stud does, beside an opening `nib` from the frame's end."""
    w, room = p.stud_face_mm, stretch.run.room
    if end is None and nib < 0:  # the opening carries on where the ceiling is too low for a frame
        return False, False
    if end is not None and end.blocks_openings and behind:
        raise Refused(_behind(o, end, stretch, p))
    if nib >= 2 * w - EPSILON:
        return True, True
    if nib >= w - EPSILON:
        message = f"The nib beside the opening is {nib:.0f} mm: the end stud alone stands there and is the jamb too."
        found.append(finding(FindingCode.NIB_END_STUD_ONLY, message, room, o.wall, o.ordinal))
        return True, False
    message = (
        f"The nib beside the opening is {max(0.0, nib):.0f} mm, too narrow for a stud: a bonded packer carries the board edge."
    )
    found.append(finding(FindingCode.NIB_PACKER, message, room, o.wall, o.ordinal))
    return False, False


def _behind(o: PlacedOpening, end: End, stretch: Stretch, p: Parameters) -> Finding:
    """S2's error, with the largest frame offset that clears the opening."""
    run = stretch.run
    clear = o.left_mm if end is run.left else run.length_mm - o.right_mm
    face = max(end.face_mm, end.finished_mm)
    largest = math.floor(_largest_offset(clear, end, run.offset_mm, p) * 10 + EPSILON) / 10
    if largest >= p.least_offset_mm:
        advice = f"The largest frame offset that fits is {largest:g} mm."
    else:
        advice = (
            f"It would fit an offset of {max(0.0, largest):g} mm at most and the build-up takes {p.least_offset_mm:g} mm: "
            "leave one of the two walls unlined."
        )
    return finding(
        FindingCode.OPENING_BEHIND_LINING,
        f"The opening's edge is {clear:.0f} mm from the corner, behind the lining beside it at {face:.0f} mm: "
        f"no lining is set out for this wall. {advice}",
        run.room, o.wall, o.ordinal,
    )  # fmt: skip


def _largest_offset(clear: float, end: End, d: float, p: Parameters) -> float:
    """The largest offset of both walls, where they are equal (or the neighbour is unlined), else of the neighbour alone."""
    t = p.lining_thickness_mm
    if end.kind is EndKind.EXTERNAL_CORNER and end.neighbour_wall is not None:  # this wall's own offset throws its frame back
        angle = math.radians(end.corner_deg)
        return (clear * math.sin(angle) - offset_of(end.neighbour_wall, p)) / math.cos(angle)
    if end.kind is EndKind.INTERNAL_CORNER and end.neighbour_wall is not None and offset_of(end.neighbour_wall, p) != d:
        angle = math.radians(end.corner_deg)
        return clear * math.sin(angle) - t - (d + t) * math.cos(angle)
    return clear * (d + t) / end.finished_mm - t  # the finished face moves in proportion to its depth


def _piers(openings: tuple[PlacedOpening, ...], room: int, w: float, found: list[Finding]) -> list[Jamb]:
    """Jamb studs at the edges that face another opening; where the pier between is narrow, one at its middle or none."""
    piers: dict[tuple[PlacedOpening, PlacedOpening], list[Jamb]] = {}
    for o in openings:
        after = [b for b in openings if b.left_mm >= o.right_mm - EPSILON]
        if after:
            pier = (o, min(after, key=lambda b: b.left_mm))
            piers.setdefault(pier, []).append((o.right_mm + w / 2, ("S2",), o))
        before = [b for b in openings if b.right_mm <= o.left_mm + EPSILON]
        if before:
            pier = (max(before, key=lambda b: b.right_mm), o)
            piers.setdefault(pier, []).append((o.left_mm - w / 2, ("S2",), o))
    studs: list[Jamb] = []
    for (a, b), jambs in piers.items():
        wide = b.left_mm - a.right_mm
        where = f"The pier to the right of the opening is {wide:.0f} mm"
        if wide >= 2 * w - EPSILON:
            studs += jambs
        elif wide >= w - EPSILON:
            found.append(
                finding(FindingCode.PIER_SINGLE_STUD, f"{where}: one stud stands at its middle.", room, a.wall, a.ordinal)
            )
            studs.append(((a.right_mm + b.left_mm) / 2, ("S2",), a))
        else:
            message = f"{where}, too narrow for a stud: a bonded packer carries the board edges."
            found.append(finding(FindingCode.PIER_PACKER, message, room, a.wall, a.ordinal))
    return studs
