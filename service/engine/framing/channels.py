"""U-section channels at floor and ceiling, corner profiles, stop ends and trims round openings: rules C1, C2, C3, F2."""

import math
from itertools import pairwise

from service.engine.findings import finding
from service.engine.framing.lengths import split_run
from service.engine.framing.pieces import Piece, StudLine
from service.engine.geometry.runs import PlacedOpening, Stretch, WallSpan
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON, whole_mm
from service.finding_codes import FindingCode
from service.vocabulary import Direction, EndKind, Role


def floor_and_ceiling(stretch: Stretch, floor_stock: int | None, ceiling_stock: int | None, p: Parameters) -> list[Piece]:
    """C1: the channels of a stretch; broken at openings that reach it and where slope or level changes."""
    floor_gaps = [o for o in stretch.run.openings if o.reaches_floor]
    ceiling_gaps = [o for o in stretch.run.openings if o.reaches_ceiling]
    return [
        *_channel(Role.FLOOR_CHANNEL, stretch, floor_gaps, floor_stock, p, ceiling=False),
        *_channel(Role.CEILING_CHANNEL, stretch, ceiling_gaps, ceiling_stock, p, ceiling=True),
    ]


def _channel(
    role: Role, stretch: Stretch, gaps: list[PlacedOpening], stock: int | None, p: Parameters, *, ceiling: bool
) -> list[Piece]:
    free = [(stretch.channel_x0_mm, stretch.channel_x1_mm)]
    for o in gaps:
        free = [part for a, b in free for part in ((a, min(b, o.left_mm)), (max(a, o.right_mm), b)) if part[1] - part[0] >= 1]
    pieces: list[Piece] = []
    for a, b in free:
        for u, v, span in _straight_parts(stretch, a, b, ceiling=ceiling):
            pieces += _along_slope(role, stretch, u, v, span, stock, p, ceiling=ceiling)
    return pieces


def _straight_parts(stretch: Stretch, a: float, b: float, *, ceiling: bool) -> list[tuple[float, float, WallSpan]]:
    """[a, b] broken where the next wall of the run has another slope or level; each part with a wall that gives its heights."""
    parts: list[tuple[float, float, WallSpan]] = []
    for span, u, v in stretch.run.pieces_between(a, b):
        if parts:
            start, _, before = parts[-1]
            level = (before.ceiling_at(u) - span.ceiling_at(u)) if ceiling else (before.floor_at(u) - span.floor_at(u))
            slope = (before.ceiling_slope - span.ceiling_slope) if ceiling else (before.floor_slope - span.floor_slope)
            if abs(level) < EPSILON and abs(slope) < EPSILON:
                parts[-1] = (start, v, before)
                continue
        parts.append((u, v, span))
    return parts


def _along_slope(
    role: Role, stretch: Stretch, a: float, b: float, span: WallSpan, stock: int | None, p: Parameters, *, ceiling: bool
) -> list[Piece]:
    slope = span.ceiling_slope if ceiling else span.floor_slope
    height = span.ceiling_at if ceiling else span.floor_at
    stretch_by = math.hypot(1.0, slope)
    lean = math.degrees(math.atan(slope)) if slope else 0.0
    lengths = split_run((b - a) * stretch_by, stock, p.run_min_piece_mm)
    rules = ("C1", "C4") if len(lengths) > 1 else ("C1",)
    pieces, x = [], a
    for length in lengths:
        end = x + length / stretch_by
        pieces.append(
            Piece(
                role, stretch.span_at(x), x, height(x), length, Direction.ALONG, rules,
                splay_start_deg=lean, splay_end_deg=lean, y_end_mm=height(end) if slope else None,
            )
        )  # fmt: skip
        x = end
    return pieces


def corner_profile(stretch: Stretch, height_mm: float, stock: int | None, p: Parameters) -> list[Piece]:
    """C2: the upright at the internal corner at this stretch's right-hand end; `height_mm`: the lower of the two walls' there."""
    span = stretch.run.spans[-1]
    x = stretch.channel_x1_mm + p.stud_depth_mm / 2
    floor = span.floor_at(stretch.channel_x1_mm)
    return _upright(Role.CORNER_PROFILE, span, x, floor, height_mm - p.stud_clearance_mm, stock, p, "C2")


def stop_ends(stretch: Stretch, stock: int | None, p: Parameters) -> list[Piece]:
    """F2: the upright fixed to the masonry that carries the side of each stop end, its back at the end of the frame."""
    run, pieces = stretch.run, []
    if stretch.left is not None and stretch.left.kind is EndKind.STOP_END:
        span = run.spans[0]
        length = span.ceiling_at(0) - span.floor_at(0) - p.stud_clearance_mm
        x = stretch.channel_x0_mm + p.stud_depth_mm / 2
        pieces += _upright(Role.STOP_END_CHANNEL, span, x, span.floor_at(0), length, stock, p, "F2")
    if stretch.right is not None and stretch.right.kind is EndKind.STOP_END:
        span, end = run.spans[-1], run.length_mm
        length = span.ceiling_at(end) - span.floor_at(end) - p.stud_clearance_mm
        x = stretch.channel_x1_mm - p.stud_depth_mm / 2
        pieces += _upright(Role.STOP_END_CHANNEL, span, x, span.floor_at(end), length, stock, p, "F2")
    return pieces


def _upright(
    role: Role, span: WallSpan, x: float, floor: float, length: float, stock: int | None, p: Parameters, rule: str
) -> list[Piece]:
    lengths = split_run(length, stock, p.run_min_piece_mm)
    rules = (rule, "C4") if len(lengths) > 1 else (rule,)
    pieces, y = [], floor
    for part in lengths:
        pieces.append(Piece(role, span, x, y, part, Direction.UP, rules))
        y += part
    return pieces


def trims(stretch: Stretch, lines: list[StudLine], head_stock: int | None, sill_stock: int | None, p: Parameters,
          found: list[Finding]) -> list[Piece]:  # fmt: skip
    """C3: a trim at the head and sill of each opening that does not reach ceiling or floor there, with its fold marks."""
    pieces: list[Piece] = []
    for o in stretch.openings:
        if not o.reaches_floor:
            pieces += _trim(Role.SILL_TRIM, o, o.sill_mm, stretch, lines, sill_stock, p, found)
        if not o.reaches_ceiling:
            pieces += _trim(Role.HEAD_TRIM, o, o.head_mm, stretch, lines, head_stock, p, found)
    return pieces


def _trim(
    role: Role, o: PlacedOpening, y: float, stretch: Stretch, lines: list[StudLine], stock: int | None, p: Parameters,
    found: list[Finding],
) -> list[Piece]:  # fmt: skip
    width, back = o.right_mm - o.left_mm, p.trim_return_mm
    x, total = o.left_mm - back, width + 2 * back
    ends = [0.0, *_joints(role, o, y, total, lines, stock, stretch.run.room, p, found), total]
    folds = (back, back + width) if back > EPSILON else ()
    pieces: list[Piece] = []
    for a, b in pairwise(ends):
        pieces.append(
            Piece(
                role, stretch.span_at(o.left_mm), x + a, y, whole_mm(b - a), Direction.ALONG,
                ("C3",) if len(ends) == 2 else ("C3", "C4"),
                fold_marks_mm=tuple(whole_mm(f - a) for f in folds if a < f < b),
                joined_to=pieces[-1] if pieces else None,
            )
        )  # fmt: skip
    return pieces


def _joints(
    role: Role, o: PlacedOpening, y: float, total: float, lines: list[StudLine], stock: int | None, room: int, p: Parameters,
    found: list[Finding],
) -> list[float]:  # fmt: skip
    """Where a trim longer than stock is joined: on the furthest short stud of its strip that a bar reaches."""
    if stock is None or total <= stock + EPSILON:
        return []
    back = p.trim_return_mm
    above = role is Role.HEAD_TRIM
    on_studs = [
        line.x_mm - o.left_mm + back
        for line in lines
        if o.left_mm < line.x_mm < o.right_mm
        and any(abs((u.y_mm if above else u.top_mm + p.stud_clearance_mm) - y) < 1 + EPSILON for u in line.uprights)
    ]
    joints, start = [], 0.0
    while total - start > stock + EPSILON:
        reach = [j for j in on_studs if start + EPSILON < j <= start + stock + EPSILON]
        if not reach:
            found.append(
                finding(
                    FindingCode.TRIM_JOINT_UNSUPPORTED,
                    f"The trim at the {'head' if above else 'sill'} is {total:.0f} mm, longer than the stock of {stock} mm, "
                    "and no short stud stands where it could be joined: support the joint.",
                    room, o.wall, o.ordinal,
                )
            )  # fmt: skip
        start = max(reach, default=start + stock)
        joints.append(start)
    return joints
