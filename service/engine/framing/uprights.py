"""What stands on a stud line, how long each piece is, and how a stud longer than its stock is spliced: rules S4, S6, S7."""

import math

from service.engine.framing.pieces import Piece, StudLine, Upright
from service.engine.geometry.runs import PlacedOpening, Run, Stretch
from service.engine.parameters import Parameters
from service.engine.units import EPSILON, whole_mm
from service.vocabulary import Direction, Role

LEAST_SHORT_STUD_MM = 50
NOWHERE = float("inf")
SPLICE_WITHIN_MM = 300.0
"""S7: the middle of a splice lies within this of a row."""

Strip = tuple[float, float, bool, bool]  # bottom, top, stands on the floor, reaches the ceiling


def strips_at(run: Run, x: float, p: Parameters) -> list[Strip]:
    """The heights at which a stud of centre x can stand: between floor, openings and ceiling, at their widest.

    The stud is as long as its longest edge needs (S6: the greatest H over its face); none is shorter than 50 (S4).
    """
    a, b = x - p.stud_face_mm / 2, x + p.stud_face_mm / 2
    floor, ceiling = run.lowest_floor(a, b), run.highest_ceiling(a, b)
    strips: list[Strip] = []
    bottom, on_floor = floor, True
    for low, high in sorted(_blocked(o) for o in run.openings if o.overlaps_x(a, b)):
        if low > bottom:
            strips.append((bottom, low, on_floor, False))
        bottom, on_floor = max(bottom, high), False
    if bottom < NOWHERE:
        strips.append((bottom, ceiling, on_floor, True))
    return [s for s in strips if whole_mm(s[1] - s[0] - p.stud_clearance_mm) >= LEAST_SHORT_STUD_MM]


def _blocked(o: PlacedOpening) -> tuple[float, float]:
    """The heights that an opening takes, without end where it reaches floor or ceiling."""
    return -NOWHERE if o.reaches_floor else o.sill_mm, NOWHERE if o.reaches_ceiling else o.head_mm


def stand(stretch: Stretch, line: StudLine, p: Parameters) -> None:
    """Gives the line its uprights, each one piece for now."""
    run, span = stretch.run, stretch.span_at(line.x_mm)
    for bottom, top, on_floor, to_ceiling in strips_at(run, line.x_mm, p):
        full = on_floor and to_ceiling
        length = whole_mm(top - bottom - p.stud_clearance_mm)
        beside = line.role is Role.JAMB_STUD and _beside_own_opening(run, line.x_mm, bottom, top, p)
        role = line.role if full or beside else Role.SHORT_STUD
        rules = (*line.rules, "S6") if full else (*line.rules, "S4", "S6")
        piece = Piece(
            role, span, line.x_mm, bottom, length, Direction.UP, rules,
            splay_start_deg=_lean(span.floor_slope) if on_floor else 0.0,
            splay_end_deg=_lean(span.ceiling_slope) if to_ceiling else 0.0,
        )  # fmt: skip
        line.uprights.append(Upright([piece], full, bottom, length))


def _lean(slope: float) -> float:
    return math.degrees(math.atan(slope)) if slope else 0.0


def _beside_own_opening(run: Run, x: float, bottom: float, top: float, p: Parameters) -> bool:
    half = p.stud_face_mm / 2
    return any(
        (abs(o.left_mm - half - x) < EPSILON or abs(o.right_mm + half - x) < EPSILON)
        and o.sill_mm < top - EPSILON
        and o.head_mm > bottom + EPSILON
        for o in run.openings
    )


def splice(upright: Upright, rows: list[float], longest: int, p: Parameters, *, turn: int) -> bool:
    """S7: makes parts of a stud that is longer than its stock; neighbours (`turn` odd and even) splice low and high.

    Returns whether every splice lies within 300 of a row. A stock no longer than the overlap cannot be spliced: left whole.
    """
    total, overlap = upright.length_mm, whole_mm(p.splice_overlap_mm)
    if total <= longest or longest <= overlap:
        return True
    fewest = math.ceil((total - overlap) / (longest - overlap))
    plans = [_splices(upright, rows, longest, overlap, parts, turn) for parts in (fewest, fewest + 1)]
    lengths, on_rows = plans[0] if plans[0][1] or not plans[1][1] else plans[1]
    _replace_by_parts(upright, lengths, overlap)
    return on_rows


def _splices(upright: Upright, rows: list[float], longest: int, overlap: int, parts: int, turn: int) -> tuple[list[int], bool]:
    """The lengths of so many parts, from the foot up, and whether each lap is near a row."""
    on_rows, lengths, start = True, [], 0
    for left in range(parts - 1, 0, -1):  # splices still to make
        least = max(overlap + 1, upright.length_mm - start - left * (longest - overlap))  # the rest must fit its bars
        most = min(longest, upright.length_mm - start - 1)
        tops = _near_rows(upright.y_mm + start - overlap / 2, rows, least, most)
        on_rows &= bool(tops)
        low, high = (tops[0], tops[-1]) if tops else (least, most)
        part = low if turn % 2 == 0 else high
        lengths.append(part)
        start += part - overlap
    lengths.append(upright.length_mm - start)
    return lengths, on_rows and lengths[-1] > overlap


def _near_rows(middle_of_empty: float, rows: list[float], least: int, most: int) -> list[int]:
    """Lengths of the lower part, from `least` to `most`, whose splice has its middle within 300 of a row: [shortest, longest]."""
    allowed: list[int] = []
    for row in rows:
        low = max(least, math.ceil(row - SPLICE_WITHIN_MM - middle_of_empty - EPSILON))
        high = min(most, whole_mm(row + SPLICE_WITHIN_MM - middle_of_empty))
        if low <= high:
            allowed += [low, high]
    return sorted(allowed)


def _replace_by_parts(upright: Upright, lengths: list[int], overlap: int) -> None:
    whole, y = upright.pieces[0], upright.y_mm
    parts: list[Piece] = []
    for i, length in enumerate(lengths, start=1):
        parts.append(
            Piece(
                whole.role, whole.span, whole.x_mm, y, length, Direction.UP, (*whole.rules, "S7"),
                splay_start_deg=whole.splay_start_deg if i == 1 else 0.0,
                splay_end_deg=whole.splay_end_deg if i == len(lengths) else 0.0,
                joined_to=parts[-1] if parts else None, part=i, whole=parts[0] if parts else None,
            )
        )  # fmt: skip
        y += length - overlap
    upright.pieces = parts
