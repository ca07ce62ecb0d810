"""Horizontal rails on the masonry: rows over the wall and rails at openings, rules R1, R2, R3."""

from dataclasses import dataclass

from service.engine.framing.lengths import split_run
from service.engine.framing.pieces import Piece, StudLine, Upright
from service.engine.geometry.runs import PlacedOpening, Stretch
from service.engine.parameters import Parameters
from service.engine.units import EPSILON, ceil_div
from service.vocabulary import Direction, Role

ROOM_OVER_FIRST_ROW_MM = 300.0
"""R1: the first row keeps its height where the wall is at least this much higher."""
ROOM_OVER_ROW_MM = 100.0
"""R1: a row stops where the ceiling is less than this above it."""
ROW_NEAR_OPENING_MM = 400.0
"""R3: an opening whose short studs are held by a row this near needs no rail of its own."""


@dataclass(slots=True, eq=False)
class RailStretch:
    """A rail from x0 to x1 at height y (underside), and what it holds: stud lines and the uprights it crosses."""

    role: Role
    y_mm: float
    x0_mm: float
    x1_mm: float
    rules: tuple[str, ...]
    holds: list[tuple[StudLine, Upright]]
    pieces: list[Piece]

    def piece_at(self, x: float) -> Piece:
        return next((p for p in self.pieces if x <= p.x_mm + p.length_mm + 1), self.pieces[-1])


def row_heights(stretch: Stretch, p: Parameters) -> list[float]:
    """R1: undersides of the rows, lowest first, above the level line.

    Where the floor falls away below the level line, rows are added downwards by the same rule as upwards.
    """
    a, b = stretch.channel_x0_mm, stretch.channel_x1_mm
    top, low, height = stretch.run.highest_ceiling(a, b), stretch.run.lowest_floor(a, b), stretch.run.greatest_height(a, b)
    if height - p.stud_clearance_mm <= p.short_stud_bracket_over_mm + EPSILON:
        return []
    first = p.rail_height_mm if top >= p.rail_height_mm + ROOM_OVER_FIRST_ROW_MM else top - height / 2
    above = _steps(top - first, p.max_stud_span_mm)
    below = _steps(first - low, p.max_stud_span_mm) if low < -EPSILON else 1
    rows = [first - (first - low) * i / below for i in range(below - 1, 0, -1)]
    rows += [first + (top - first) * i / above for i in range(above)]
    return rows


def _steps(height: float, span: float) -> int:
    return max(1, ceil_div(height, span))


def row_stretches(
    stretch: Stretch, lines: list[StudLine], p: Parameters, *, profile_left_mm: float | None, profile_right_mm: float | None
) -> list[RailStretch]:
    """R2: the rows' stretches, from outer stud to outer stud or to the far edge of a corner profile, within the masonry."""
    if not lines:
        return []
    half = p.stud_face_mm / 2
    x0 = max(0.0, lines[0].x_mm - half if profile_left_mm is None else profile_left_mm)
    x1 = min(stretch.run.length_mm, lines[-1].x_mm + half if profile_right_mm is None else profile_right_mm)
    found = []
    for y in row_heights(stretch, p):
        found += _rail(Role.RAIL, stretch, lines, p, y, x0, x1, ("R1", "R2"))
    return found


def opening_rails(stretch: Stretch, lines: list[StudLine], rails: list[RailStretch], p: Parameters) -> list[RailStretch]:
    """R3: rails of their own for openings whose short studs no row holds near the sill or head."""
    added: list[RailStretch] = []
    for o in stretch.openings:
        for edge, y in ((o.sill_mm, o.sill_mm - p.opening_rail_gap_mm), (o.head_mm, o.head_mm + p.opening_rail_gap_mm)):
            studs = _short_studs_at(o, edge, lines, p)
            near = [r for r in (*rails, *added) if abs(r.y_mm - edge) <= ROW_NEAR_OPENING_MM + EPSILON]
            if studs and not all(any(held is u for r in near for _, held in r.holds) for u in studs):
                height = _within_strip(y, studs, p)
                for a, b in _clear_of((*rails, *added), height, o.left_mm, o.right_mm, p):
                    added += _rail(Role.OPENING_RAIL, stretch, lines, p, height, a, b, ("R3",))
    return _reach_strays(stretch, lines, rails, added, p)


def _clear_of(rails: tuple[RailStretch, ...], y: float, x0: float, x1: float, p: Parameters) -> list[tuple[float, float]]:
    """The parts of [x0, x1] at height y that no other rail's band takes."""
    free = [(x0, x1)]
    for r in rails:
        if abs(r.y_mm - y) < p.stud_face_mm - EPSILON:
            free = [part for a, b in free for part in ((a, min(b, r.x0_mm)), (max(a, r.x1_mm), b)) if part[1] - part[0] > 1]
    return free


def _within_strip(y: float, studs: list[Upright], p: Parameters) -> float:
    """The rail's height, or the middle of the strip where the gap would take it out of its studs."""
    low, high, w = max(u.y_mm for u in studs), min(u.top_mm for u in studs), p.stud_face_mm
    return y if low <= y + w / 2 <= high else (low + high - w) / 2


def _reach_strays(
    stretch: Stretch, lines: list[StudLine], rails: list[RailStretch], added: list[RailStretch], p: Parameters
) -> list[RailStretch]:
    """Opening rails carried on to short studs just beside them, as on a pier too narrow for a stud; two that meet become one."""
    half = p.stud_face_mm / 2
    held = {id(u) for r in (*rails, *added) for _, u in r.holds}
    for line in lines:
        for u in line.uprights:
            if u.full or u.length_mm <= p.short_stud_bracket_over_mm or id(u) in held:
                continue
            near = [
                r
                for r in added
                if u.y_mm <= r.y_mm + half <= u.top_mm and max(r.x0_mm - line.x_mm, line.x_mm - r.x1_mm) <= 2 * p.stud_face_mm
            ]
            if near:
                y = min(near, key=lambda r: (max(r.x0_mm - line.x_mm, line.x_mm - r.x1_mm), r.x0_mm)).y_mm
                joined = [r for r in near if r.y_mm == y]
                x0 = min(line.x_mm - half, *(r.x0_mm for r in joined))
                x1 = max(line.x_mm + half, *(r.x1_mm for r in joined))
                added = [r for r in added if r not in joined]
                added += _rail(Role.OPENING_RAIL, stretch, lines, p, y, x0, x1, ("R3",))
                held |= {id(u) for r in added for _, u in r.holds}
    return added


def _short_studs_at(o: PlacedOpening, edge: float, lines: list[StudLine], p: Parameters) -> list[Upright]:
    """The opening's short studs that end at `edge` (its sill or head) and are long enough to need holding."""
    return [
        u
        for line in lines
        if o.left_mm < line.x_mm < o.right_mm
        for u in line.uprights
        if u.length_mm > p.short_stud_bracket_over_mm
        and (abs(u.y_mm - edge) < EPSILON or abs(u.top_mm + p.stud_clearance_mm - edge) < 1 + EPSILON)
    ]


def _rail(
    role: Role, stretch: Stretch, lines: list[StudLine], p: Parameters, y: float, x0: float, x1: float, rules: tuple[str, ...]
) -> list[RailStretch]:
    """The stretches of a rail between x0 and x1: where the wall is high enough, less the openings it meets, where it serves."""
    run, w = stretch.run, p.stud_face_mm
    free = _high_enough(stretch, y, x0, x1, ROOM_OVER_ROW_MM if role is Role.RAIL else w)
    for o in run.openings:
        if o.sill_mm < y + w - EPSILON and o.head_mm > y + EPSILON:
            free = [part for a, b in free for part in ((a, min(b, o.left_mm)), (max(a, o.right_mm), b)) if part[1] - part[0] > 1]
    found = []
    for a, b in free:
        holds = [
            (line, u)
            for line in lines
            if a - EPSILON <= line.x_mm <= b + EPSILON
            for u in line.uprights
            if u.y_mm <= y + w / 2 <= u.top_mm and (u.full or u.length_mm > p.short_stud_bracket_over_mm)
        ]
        if holds:
            found.append(RailStretch(role, y, a, b, rules, holds, []))
    return found


def _high_enough(stretch: Stretch, y: float, x0: float, x1: float, room_over: float) -> list[tuple[float, float]]:
    """Where the ceiling is at least so much above a rail and the floor not above it."""
    parts: list[tuple[float, float]] = []
    for span, a, b in stretch.run.pieces_between(x0, x1):
        clipped = _where(a, b, span.ceiling_at(a) - y - room_over, span.ceiling_at(b) - y - room_over)
        if clipped is not None:
            u, v = clipped
            clipped = _where(u, v, y - span.floor_at(u), y - span.floor_at(v))
        if clipped is None:
            continue
        if parts and abs(parts[-1][1] - clipped[0]) < EPSILON:
            parts[-1] = (parts[-1][0], clipped[1])
        else:
            parts.append(clipped)
    return parts


def _where(a: float, b: float, at_a: float, at_b: float) -> tuple[float, float] | None:
    """The part of [a, b] where a linear quantity is not negative."""
    if at_a < -EPSILON and at_b < -EPSILON:
        return None
    if at_a >= -EPSILON and at_b >= -EPSILON:
        return a, b
    cross = a + (b - a) * at_a / (at_a - at_b)
    return (cross, b) if at_a < at_b else (a, cross)


def cut_rail(rail: RailStretch, stretch: Stretch, longest_mm: int | None, p: Parameters) -> None:
    """Gives a rail its pieces (C4)."""
    x = rail.x0_mm
    lengths = split_run(rail.x1_mm - rail.x0_mm, longest_mm, p.run_min_piece_mm)
    rules = (*rail.rules, "C4") if len(lengths) > 1 else rail.rules
    for length in lengths:
        rail.pieces.append(Piece(rail.role, stretch.span_at(x), x, rail.y_mm, length, Direction.ALONG, rules))
        x += length
