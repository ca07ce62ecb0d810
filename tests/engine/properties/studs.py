"""Referee of studs: rules F1 to F4, S1 to S7. Every function lists breaches of one rule as sentences; an empty list is a pass."""

import math
from collections.abc import Iterator
from itertools import pairwise

from rooms.surveys import Case

from properties.reading import LOW, NEAR, End, Hole, Run, Upright, ends_of, lowest_and_highest, neighbours
from service.engine.results import Framing
from service.finding_codes import FindingCode
from service.vocabulary import STUD_ROLES, EndKind, Role

UNBUILT = (FindingCode.NO_ROOM_FOR_FRAME, FindingCode.OPENING_BEHIND_LINING, FindingCode.OFFSET_OUT_OF_REACH)


def frames_end_where_the_corner_says(case: Case, framing: Framing) -> Iterator[str]:
    """F1, F2, F3: boards, channels and finished face at both ends of every wall."""
    p, built = case.parameters, {(layout.room, layout.wall) for layout in framing.layouts}
    for layout in framing.layouts:
        room = case.rooms[layout.room - 1]
        wall, frame = room.walls[layout.wall - 1], layout.frame
        name = f"{layout.room}/{layout.wall}"
        if not wall.lined:
            yield f"{name}: an unlined wall has a layout"
        beside = neighbours(room, layout.wall - 1)
        for side, end, other in zip(("left", "right"), ends_of(room, layout.wall - 1, p), beside, strict=True):
            kind = getattr(frame, side)
            if kind in (EndKind.LOW_CEILING, EndKind.STEP):
                continue
            if end.kind is EndKind.JOINED and (layout.room, other + 1) not in built:  # the run's end reaches past a short wall
                continue
            if kind is not end.kind:
                yield f"{name}: {side} end is {kind}, the rule says {end.kind} at {end.corner}"
                continue
            yield from _positions(name, side, end, wall.length_mm, layout)


def _positions(name: str, side: str, end: End, length: float, layout: object) -> Iterator[str]:
    frame = layout.frame  # type: ignore[attr-defined]
    index = "0" if side == "left" else "1"
    for what, inset in (("x", end.board), ("channel_x", end.channel), ("finished_x", end.finished)):
        if inset is None:
            continue
        expected = inset if side == "left" else length - inset
        actual = getattr(frame, f"{what}{index}_mm")
        if abs(actual - expected) > NEAR:
            yield f"{name}: {what}{index} is {actual:.2f}, the rule gives {expected:.2f} ({end.kind}, {end.corner})"


def every_lined_wall_is_laid_out_or_says_why(case: Case, framing: Framing) -> Iterator[str]:
    """A lined wall without a layout has an error, or its ceiling is too low to line (F3, F4, S2)."""
    built = {(layout.room, layout.wall) for layout in framing.layouts}
    for r, room in enumerate(case.rooms, 1):
        for w, wall in enumerate(room.walls, 1):
            if not wall.lined or (r, w) in built:
                continue
            codes = {f.code for f in framing.findings if f.room == r and f.wall == w}
            low = lowest_and_highest(wall)[0] < LOW and FindingCode.FRAME_ENDS_LOW in codes
            ends = ends_of(room, w - 1, case.parameters)
            if EndKind.JOINED in {end.kind for end in ends} and any((end.board or 0) >= wall.length_mm for end in ends):
                continue  # the run it belongs to starts past it: it is hidden behind the neighbour's lining
            if not low and not codes & set(UNBUILT):
                yield f"{r}/{w}: lined, no layout, and only {sorted(codes)} said"
    order = [(layout.room, layout.wall) for layout in framing.layouts]
    if order != sorted(set(order)):
        yield f"layouts out of survey order or repeated: {order}"


def studs_stay_out_of_openings(run: Run) -> Iterator[str]:
    for part, m in run.of(*STUD_ROLES):
        left, right = part.at + m.x_mm - run.p.stud_face_mm / 2, part.at + m.x_mm + run.p.stud_face_mm / 2
        for hole in run.holes:
            if (
                min(right, hole.right) - max(left, hole.left) > NEAR
                and min(m.y_mm + m.length_mm, hole.head) - max(m.y_mm, hole.sill) > NEAR
            ):
                place = f"{hole.wall}/{hole.ordinal} {hole.left:.0f} to {hole.right:.0f}"
                yield f"{m.id} ({left:.1f} to {right:.1f}, {m.y_mm:.0f} up {m.length_mm}) enters opening {place}"


def studs_do_not_overlap(run: Run) -> Iterator[str]:
    ordered = sorted(run.uprights, key=lambda u: u.x)
    for i, u in enumerate(ordered):
        for v in ordered[i + 1 :]:
            if v.x - u.x >= run.p.stud_face_mm - NEAR:
                break
            if min(u.top, v.top) - max(u.foot, v.foot) > NEAR:
                yield f"{u.member.id} at {u.x:.1f} and {v.member.id} at {v.x:.1f} overlap"


def studs_stand_within_the_frame(run: Run) -> Iterator[str]:
    """Between the ends of the frame, the floor and the ceiling."""
    for u in run.uprights:
        left, right = run.face(u)
        if left < run.ends[0] - NEAR or right > run.ends[1] + NEAR:
            yield f"{u.member.id}: face {left:.1f} to {right:.1f} outside the frame {run.ends[0]:.1f} to {run.ends[1]:.1f}"
        floor, _, _, ceiling = run.over(left, right)
        if u.foot < floor - NEAR or u.top > ceiling + NEAR:
            yield f"{u.member.id}: {u.foot:.1f} to {u.top:.1f} outside floor {floor:.1f} and ceiling {ceiling:.1f}"


def _levels(run: Run) -> list[float]:
    """Heights to look along: the middle of every band between sills, heads, floor and ceiling, and a few more on a slope."""
    low, high, under, top = run.over(*run.masonry)
    edges = {low, high, under, top} | {h.sill for h in run.holes} | {h.head for h in run.holes}
    if not run.level:
        edges |= {low + (top - low) * k / 6 for k in range(7)}
    heights = sorted(edges)
    return [(a + b) / 2 for a, b in pairwise(heights) if b - a > 2]


def _lines_at(run: Run, y: float) -> list[float]:
    slack = run.p.stud_clearance_mm + 1
    return sorted(u.x for u in run.uprights if u.foot - slack <= y <= u.top + slack)


def stud_lines_are_near_enough(run: Run) -> Iterator[str]:
    """S3, S4, S5: at no height do two neighbouring lines stand further apart than the centres and their tolerance allow."""
    allowed = run.p.stud_centres_mm + run.p.centres_tolerance_mm
    for y in _levels(run):
        lines = _lines_at(run, y)
        for a, b in pairwise(lines):
            if b - a > allowed + NEAR and not _excused(run, a, b, y):
                yield f"{run.name}: lines at {a:.1f} and {b:.1f} stand {b - a:.1f} apart at height {y:.0f}, allowed {allowed:g}"


def _excused(run: Run, a: float, b: float, y: float) -> bool:
    """No line can stand between a and b at this height: an opening is there, or the strip midway is too low for a short stud."""
    _, floor, ceiling, _ = run.over(a, b)
    if not floor <= y <= ceiling:
        return True
    if any(h.left < b and h.right > a and h.bottom <= y <= h.top for h in run.holes):
        return True
    half = run.p.stud_face_mm / 2
    places = [((a + b) / 2 - half, (a + b) / 2 + half), *((h.left, h.right) for h in run.holes if h.left < b and h.right > a)]
    return any(_strip(run, place, y) < 50 + NEAR for place in places)


def _strip(run: Run, place: tuple[float, float], y: float) -> float:
    """How long a short stud could be at height y from one x to another, between the openings there, floor and ceiling."""
    left, right = place
    _, floor, ceiling, _ = run.over(left, right)
    beside = [h for h in run.holes if h.left < right - NEAR and h.right > left + NEAR]
    foot = max([h.head for h in beside if h.head <= y], default=floor)
    top = min([h.sill for h in beside if h.sill >= y], default=ceiling)
    return top - foot - run.p.stud_clearance_mm


def ends_carry_a_stud(run: Run) -> Iterator[str]:
    """S1: the outermost stud stands flush with the frame's end; F4: a frame under two faces has one stud midway."""
    w = run.p.stud_face_mm
    length = run.ends[1] - run.ends[0]
    if length < 2 * w - NEAR:
        middle = sum(run.ends) / 2
        if not any(abs(u.x - middle) < NEAR for u in run.uprights):
            yield f"{run.name}: a frame {length:.1f} long has no stud midway"
        if FindingCode.SINGLE_STUD not in run.codes:
            yield f"{run.name}: a frame {length:.1f} long, without single_stud"
        return
    for end, x in ((run.ends[0], run.ends[0] + w / 2), (run.ends[1], run.ends[1] - w / 2)):
        nearest = min((max(0.0, h.left - end if end < h.left else end - h.right) for h in run.holes), default=math.inf)
        if nearest < w + NEAR:
            continue
        if not any(abs(u.x - x) < NEAR and u.member.role is not Role.SHORT_STUD for u in run.uprights):
            yield f"{run.name}: no stud flush with the frame's end at {end:.1f}"


def _beside(run: Run, hole: Hole, right: bool) -> tuple[float, float, Hole | None] | None:
    """What stands beside an opening's edge: its distance with boards' and channels' end, and the opening if it is one.

    None where openings stand one above another: which of them makes the pier is then not for this rule to say.
    """
    edge = hole.right if right else hole.left
    gap, other = math.inf, None
    for h in run.holes:
        if h is hole:
            continue
        if h.left < hole.right - NEAR and h.right > hole.left + NEAR:
            return None
        away = h.left - edge if right else edge - h.right
        if -NEAR <= away < gap:
            gap, other = away, h
    if other is not None:
        if any(h is not other and h.left < other.right and h.right > other.left for h in run.holes):
            return None
        return gap, gap, other
    end = (run.ends[1], run.board_ends[1]) if right else (run.ends[0], run.board_ends[0])
    return (end[0] - edge, end[1] - edge, None) if right else (edge - end[0], edge - end[1], None)


def jambs_stand_flush(run: Run) -> Iterator[str]:
    """S2: at every edge the studs that its nib or pier has room for, and the finding where it has not."""
    w = run.p.stud_face_mm
    for hole in run.holes:
        for right in (False, True):
            beside = _beside(run, hole, right)
            if beside is None:
                continue
            room, by_board, other = beside
            if any(abs(room - limit) <= NEAR for limit in (w, 2 * w)):
                continue  # a hundredth of a mm decides: two readings of one sine may differ
            if (room < w - NEAR) != (by_board < w - NEAR) or (room < 2 * w - NEAR) != (by_board < 2 * w - NEAR):
                continue
            edge = hole.right if right else hole.left
            jamb = edge + w / 2 if right else edge - w / 2
            side = "right" if right else "left"
            place = f"{run.name} opening {hole.wall}/{hole.ordinal} {side} edge {edge:.1f}, {room:.1f} of room"
            if room >= 2 * w - NEAR:
                if not _stands(run, jamb, hole):
                    yield f"{place}: no jamb stud at {jamb:.1f}"
            elif room >= w - NEAR:
                x = edge + room / 2 * (1 if right else -1) if other else (run.ends[1] - w / 2 if right else run.ends[0] + w / 2)
                code = FindingCode.PIER_SINGLE_STUD if other else FindingCode.NIB_END_STUD_ONLY
                if not _stands(run, x, hole):
                    yield f"{place}: no single stud at {x:.1f}"
                if not run.found(code, hole) and not (other and run.found(code, other)):
                    yield f"{place}: {code} not said"
            else:
                code = FindingCode.PIER_PACKER if other else FindingCode.NIB_PACKER
                if not run.found(code, hole) and not (other and run.found(code, other)):
                    yield f"{place}: {code} not said"


def _stands(run: Run, x: float, hole: Hole) -> bool:
    slack = run.p.stud_clearance_mm + 1
    floor, _, _, ceiling = run.over(x - run.p.stud_face_mm / 2, x + run.p.stud_face_mm / 2)
    foot, top = max(hole.sill, floor) + slack, min(hole.head, ceiling) - slack
    return any(abs(u.x - x) < NEAR and u.foot <= foot and u.top >= top for u in run.uprights)


def studs_keep_to_the_grid(run: Run) -> Iterator[str]:
    """S3: from the frame's end in steps of the centres; each place has its line unless an opening or a nearer stud has it."""
    w, c = run.p.stud_face_mm, run.p.stud_centres_mm
    if run.parts[0].layout.frame.left in (EndKind.LOW_CEILING, EndKind.STEP):
        return
    if run.ends[1] - run.ends[0] < 2 * w - NEAR:
        return
    grid = [u.x for u in run.uprights if u.member.role is Role.STUD]
    origins = (run.board_ends[0], run.ends[0])
    if not any(all(abs((x - o) / c - round((x - o) / c)) * c < NEAR for x in grid) for o in origins):
        yield f"{run.name}: studs at {[round(x, 1) for x in grid]} are off the grid from {origins[0]:.1f} at {c:g}"
    every = [u.x for u in run.uprights if u.member.role is not Role.SHORT_STUD]
    for k in range(1, int((run.ends[1] - run.ends[0]) / c) + 1):
        places = [o + k * c for o in origins]
        if any(abs(u - x) < w for x in places for u in every) or any(x > run.ends[1] - w for x in places):
            continue
        if any(h.left - w - NEAR < x < h.right + w + NEAR for x in places for h in run.holes):
            continue
        yield f"{run.name}: nothing stands at grid place {places[0]:.1f}"


def lengths_follow_the_heights(run: Run) -> Iterator[str]:
    """S6: full studs H less clearance, short studs their strip less clearance; on a slope the greatest H over the face.

    Where floor and ceiling slope together, the bar is longer than H by what the floor rises over the face: either is taken.
    """
    clearance = run.p.stud_clearance_mm
    for u in run.uprights:
        left, right = run.face(u)
        beside = [h for h in run.holes if h.left < right - NEAR and h.right > left + NEAR]
        sill = min([h.sill for h in beside if h.sill >= u.foot - NEAR], default=math.inf)
        head = max([h.head for h in beside if h.head <= u.top + NEAR], default=-math.inf)
        low, _, _, top = run.over(left, right)
        slanted = max(min(run.ceiling(x), sill) - max(run.floor(x), head) for x in (left, right)) - clearance
        upright = min(top, sill) - max(low, head) - clearance
        length = u.top - u.foot
        if not math.floor(slanted + 1e-6) - NEAR <= length <= upright + 1e-6:
            yield f"{u.member.id} at {u.x:.1f}: {length:.1f} long, the rule gives {slanted:.1f} to {upright:.1f}"


def ends_are_cut_to_the_slope(run: Run) -> Iterator[str]:
    """S6: the cut at floor and ceiling leans by their slope, at a sill or head it is square."""
    for u in run.uprights:
        parts = sorted(u.parts, key=lambda m: m.y_mm)
        left, right = run.face(u)
        if run.part_at(left) is not run.part_at(right):
            continue
        slack = run.p.stud_clearance_mm + 1 + NEAR
        low, _, _, top = run.over(left, right)
        floor = (run.floor(right) - run.floor(left)) / (right - left) if abs(u.foot - low) <= slack else 0.0
        ceiling = (run.ceiling(right) - run.ceiling(left)) / (right - left) if abs(u.top - top) <= slack else 0.0
        for what, angle, slope in (("start", parts[0].splay_start_deg, floor), ("end", parts[-1].splay_end_deg, ceiling)):
            if abs(angle - math.degrees(math.atan(slope))) > 0.01:
                yield f"{u.member.id}: splay at the {what} is {angle:.2f}, the slope {math.degrees(math.atan(slope)):.2f}"
        if any(m.splay_start_deg for m in parts[1:]) or any(m.splay_end_deg for m in parts[:-1]):
            yield f"{u.member.id}: a splice is cut at an angle"


def no_short_stud_is_too_short(run: Run) -> Iterator[str]:
    for _, m in run.of(Role.SHORT_STUD):
        if m.length_mm < 50:
            yield f"{m.id} is only {m.length_mm} long"


def long_studs_are_spliced(run: Run) -> Iterator[str]:
    """S7: parts overlap by the splice, none is longer than stock, the overlap stands near a row or a finding says so."""
    longest = max(run.case.stud_stock_mm)
    rows = sorted({m.y_mm for _, m in run.of(Role.RAIL, Role.SUPPORT_RAIL, Role.OPENING_RAIL)})
    for u in run.uprights:
        parts = sorted(u.parts, key=lambda m: m.y_mm)
        if len(parts) == 1 and parts[0].length_mm > longest:
            yield f"{u.member.id} is {parts[0].length_mm} long, the longest stock {longest}"
        for a, b in pairwise(parts):
            overlap = a.y_mm + a.length_mm - b.y_mm
            if abs(overlap - run.p.splice_overlap_mm) > 1:
                yield f"{a.id} and {b.id} overlap by {overlap:.1f}"
            near = min((max(0.0, b.y_mm - y, y - a.y_mm - a.length_mm) for y in rows), default=math.inf)
            if near > LOW and FindingCode.SPLICE_OFF_ROW not in run.codes:
                yield f"{a.id} and {b.id}: overlap {near:.0f} from the nearest row, not said"
        if any(m.length_mm > longest for m in parts):
            yield f"{u.member.id}: a part is longer than the stock of {longest}"


def splices_are_staggered(run: Run) -> Iterator[str]:
    """S7: on neighbouring stud lines no two splices lie at one height, where stock and rows leave both room to move."""
    if FindingCode.SPLICE_OFF_ROW in run.codes:
        return
    lines: dict[float, list[float]] = {}
    for u in run.uprights:
        free = len(u.parts) == 2 and _room_for_splices(run, u) > 100
        lines.setdefault(round(u.x, 2), []).extend([max(m.y_mm for m in u.parts)] if free else [])
    for (x, at), (x2, at2) in pairwise(sorted(lines.items())):
        if any(abs(y - y2) < 1 for y in at for y2 in at2):
            yield f"{run.name}: the studs at {x:.1f} and {x2:.1f} are spliced at one height, {at} and {at2}"


def _room_for_splices(run: Run, u: Upright) -> float:
    """The length of all places, within 300 of a row, in which the middle of a stud's one splice can lie."""
    longest, overlap = max(run.case.stud_stock_mm), run.p.splice_overlap_mm
    low = max(u.foot + overlap / 2, u.top - longest + overlap / 2)
    high = min(u.top - overlap / 2, u.foot + longest - overlap / 2)
    held = {b.y_mm for part in run.parts for b in part.layout.brackets if b.member_id in {m.id for m in u.parts}}
    rows = sorted(y + run.p.stud_face_mm / 2 for y in held)
    reached, room = low, 0.0
    for row in rows:
        a, b = max(reached, row - LOW), min(high, row + LOW)
        room, reached = room + max(0.0, b - a), max(reached, b)
    return room


def external_corners_are_held(case: Case, framing: Framing) -> Iterator[str]:
    """S1: near the masonry of a lined external corner stands a stud on each wall."""
    w = case.parameters.stud_face_mm
    for layout in framing.layouts:
        wall = case.rooms[layout.room - 1].walls[layout.wall - 1]
        for kind, corner in ((layout.frame.left, 0.0), (layout.frame.right, float(wall.length_mm))):
            if kind is not EndKind.EXTERNAL_CORNER:
                continue
            end = layout.frame.channel_x0_mm if corner == 0 else wall.length_mm - layout.frame.channel_x1_mm
            if end > 0:  # unequal offsets at a shallow corner: the frame ends short of the masonry corner
                continue
            if any(abs(edge - corner) < 150 + w for o in wall.openings for edge in (o.left_mm, o.right_mm)):
                continue
            if not any(m.role in STUD_ROLES and 150 - abs(m.x_mm - corner) + w / 2 >= -NEAR for m in layout.members):
                yield f"{layout.room}/{layout.wall}: no stud within 150 of the external corner at {corner:g}"
