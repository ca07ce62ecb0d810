"""Referee of rails and brackets: rules R1 to R4. Every function lists breaches as sentences; an empty list is a pass."""

import math
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from properties.reading import NEAR, Hole, Part, Run, Upright
from service.engine.results import Member
from service.finding_codes import FindingCode
from service.vocabulary import RAIL_ROLES, STUD_ROLES, EndKind, Role


def _span(part: Part, m: Member) -> tuple[float, float]:
    return part.at + m.x_mm, part.at + m.x_mm + m.length_mm


def _rails(run: Run) -> list[tuple[float, float, Member]]:
    return [(*_span(part, m), m) for part, m in run.of(*RAIL_ROLES)]


def rails_lie_on_the_masonry_and_clear_of_openings(run: Run) -> Iterator[str]:
    w = run.p.stud_face_mm
    for left, right, m in _rails(run):
        if left < run.masonry[0] - NEAR or right > run.masonry[1] + NEAR:
            yield f"{m.id}: {left:.1f} to {right:.1f} runs off the masonry {run.masonry}"
        for hole in run.holes:
            if (
                min(right, hole.right) - max(left, hole.left) > NEAR
                and min(m.y_mm + w, hole.head) - max(m.y_mm, hole.sill) > NEAR
            ):
                yield f"{m.id}: {left:.1f} to {right:.1f} at {m.y_mm:.1f} crosses opening {hole.wall}/{hole.ordinal}"
        _, floor, _, ceiling = run.over(left + NEAR, right - 1)  # not into the wall that begins where this piece ends
        if m.y_mm < floor - NEAR or m.y_mm + w > ceiling + NEAR:
            yield f"{m.id}: at {m.y_mm:.1f} outside floor {floor:.1f} and ceiling {ceiling:.1f}"


def rails_do_not_overlap(run: Run) -> Iterator[str]:
    rails, w = _rails(run), run.p.stud_face_mm
    for i, (left, right, m) in enumerate(rails):
        for other_left, other_right, n in rails[i + 1 :]:
            if min(right, other_right) - max(left, other_left) > NEAR and abs(m.y_mm - n.y_mm) < w - NEAR:
                yield f"{m.id} at {m.y_mm:.1f} and {n.id} at {n.y_mm:.1f} overlap"


def stretches(run: Run, *roles: Role) -> list[tuple[float, float, list[Member]]]:
    """Members of these roles end to end, at one height, as the stretches they were cut from."""
    pieces = sorted(
        ((part.at + m.x_mm, m) for part, m in run.of(*roles)), key=lambda xm: (xm[1].role, round(xm[1].y_mm, 2), xm[0])
    )
    found: list[tuple[float, float, list[Member]]] = []
    for x, m in pieces:
        if found:
            left, right, members = found[-1]
            if members[-1].role is m.role and abs(members[-1].y_mm - m.y_mm) < NEAR and abs(x - right) < 1:
                found[-1] = (left, x + m.length_mm, [*members, m])
                continue
        found.append((x, x + m.length_mm, [m]))
    return found


def every_rail_serves_a_stud(run: Run) -> Iterator[str]:
    """R2: a stretch that serves no stud is left out."""
    held = {b.rail_id for part in run.parts for b in part.layout.brackets}
    for left, right, members in stretches(run, *RAIL_ROLES):
        if not held & {m.id for m in members}:
            yield f"{run.name}: the stretch {left:.1f} to {right:.1f} at {members[0].y_mm:.1f} serves no stud"


def brackets_lie_on_their_rail_and_stud(run: Run) -> Iterator[str]:
    rails = {m.id: (*_span(part, m), m) for part, m in run.of(*RAIL_ROLES)}
    uprights = {m.id: (part.at + m.x_mm, m) for part, m in run.of(*STUD_ROLES, Role.CORNER_PROFILE)}
    w = run.p.stud_face_mm
    for part in run.parts:
        for b in part.layout.brackets:
            x = part.at + b.x_mm
            if b.rail_id not in rails or b.member_id not in uprights:
                yield f"{b.id}: holds {b.member_id} at {b.rail_id}, which are not both on {run.name}"
                continue
            left, right, rail = rails[b.rail_id]
            at, m = uprights[b.member_id]
            if not left - w - NEAR <= x <= right + w + NEAR or not rail.y_mm - NEAR <= b.y_mm <= rail.y_mm + w + NEAR:
                yield f"{b.id} at {x:.1f}, {b.y_mm:.1f} is off its rail {rail.id} ({left:.1f} to {right:.1f} at {rail.y_mm:.1f})"
            if abs(x - at) > w / 2 + NEAR or not m.y_mm - w - NEAR <= b.y_mm <= m.y_mm + m.length_mm + NEAR:
                yield f"{b.id} at {x:.1f}, {b.y_mm:.1f} is off its stud {m.id} at {at:.1f}, {m.y_mm:.1f} up {m.length_mm}"
    for (member, rail), count in Counter((b.member_id, b.rail_id) for part in run.parts for b in part.layout.brackets).items():
        if count > 1:
            yield f"{member} has {count} brackets on {rail}"


def brackets_reach_from_rail_to_stud(run: Run) -> Iterator[str]:
    """The clearance between the rail's face and the stud's back lies within the bracket's reach."""
    least, most = run.p.bracket_reach_min_mm, run.p.bracket_reach_max_mm
    for part in run.parts:
        expected = part.layout.frame.offset_mm - run.p.stud_depth_mm - run.p.rail_depth_mm
        for b in part.layout.brackets:
            if not least - NEAR <= b.projection_mm <= most + NEAR:
                yield f"{b.id}: projects {b.projection_mm:.1f}, reach {least:g} to {most:g}"
            if not expected - part.wall.proud_mm - NEAR <= b.projection_mm <= expected + part.wall.proud_mm + NEAR:
                yield f"{b.id}: projects {b.projection_mm:.1f}, rail to stud is {expected:.1f} ± {part.wall.proud_mm:g}"


def _supports(run: Run, u: Upright) -> list[float]:
    ids = {m.id for m in u.parts}
    held = [b.y_mm for part in run.parts for b in part.layout.brackets if b.member_id in ids]
    return sorted([u.foot, *held, u.top])


def _widest(run: Run, u: Upright) -> float:
    supports = _supports(run, u)
    return max(b - a for a, b in pairwise(supports))


def _past_the_masonry(run: Run, u: Upright) -> bool:
    return not run.masonry[0] <= u.x <= run.masonry[1]


def spans_keep_the_limit_or_say_so(run: Run) -> Iterator[str]:
    """R4: no stud spans further than allowed unless the wall says so; a corner stud past the masonry has a word of its own."""
    limit = run.p.max_stud_span_mm + run.p.stud_clearance_mm + NEAR
    for u in run.uprights:
        code = FindingCode.CORNER_STUD_SPAN if _past_the_masonry(run, u) else FindingCode.SPAN_OVER_LIMIT
        if _widest(run, u) > limit and code not in run.codes:
            yield f"{u.member.id} spans {_widest(run, u):.1f}, allowed {run.p.max_stud_span_mm:g}, {code} is not said"


def no_span_is_reported_that_holds(run: Run) -> Iterator[str]:
    for code, past in ((FindingCode.SPAN_OVER_LIMIT, False), (FindingCode.CORNER_STUD_SPAN, True)):
        widest = max((_widest(run, u) for u in run.uprights if _past_the_masonry(run, u) is past), default=0.0)
        if code in run.codes and widest + 2 * run.p.stud_clearance_mm < run.p.max_stud_span_mm:
            yield f"{run.name}: {code} is said, but the widest span is {widest:.1f}"


def rows_of(run: Run) -> list[float]:
    """R1 where the floor is the level line: undersides of all rows; on a rake they follow the greatest height."""
    height = run.over(*run.ends)[3]
    if height - run.p.stud_clearance_mm <= run.p.short_stud_bracket_over_mm:
        return []
    first = run.p.rail_height_mm if height >= run.p.rail_height_mm + 300 else height / 2
    steps = max(1, math.ceil((height - first) / run.p.max_stud_span_mm - 1e-9))
    return [first + k * (height - first) / steps for k in range(steps)]


def _on_the_level_line(run: Run) -> bool:
    low, high, _, _ = run.over(*run.ends)
    return abs(low) < NEAR and abs(high) < NEAR


def rows_stand_where_the_height_says(run: Run) -> Iterator[str]:
    """R1 where the floor is the level line: every rail is in a row and stays 100 under the ceiling."""
    if not _on_the_level_line(run):
        return
    rows = rows_of(run)
    for left, right, m in _rails(run):
        if m.role is Role.RAIL and not any(abs(m.y_mm - y) < NEAR for y in rows):
            yield f"{m.id} at {m.y_mm:.2f} is in none of the rows {[round(y, 2) for y in rows]}"
        if m.role is Role.RAIL and run.over(left, right - 1)[2] < m.y_mm + 100 - 1:
            yield f"{m.id} at {m.y_mm:.2f} has less than 100 above it somewhere from {left:.1f} to {right:.1f}"
    if (
        len(rows) > 1
        and FindingCode.EXTRA_RAIL_ROW not in run.codes
        and any(abs(m.y_mm - rows[1]) < NEAR for _, m in run.of(Role.RAIL))
    ):
        yield f"{run.name}: {len(rows)} rows, without extra_rail_row"


def rows_hold_every_stud_they_cross(run: Run) -> Iterator[str]:
    """R2, R4: a stud on the masonry that a row crosses clear of openings has a bracket there."""
    w, over = run.p.stud_face_mm, run.p.short_stud_bracket_over_mm
    for y in rows_of(run) if _on_the_level_line(run) else ():
        held = {b.member_id for part in run.parts for b in part.layout.brackets if abs(b.y_mm - y) < NEAR}
        for u in run.uprights:
            left, right = run.face(u)
            if (
                left < run.masonry[0] - NEAR
                or right > run.masonry[1] + NEAR
                or u.top - u.foot <= over
                or run.over(left, right)[2] < y + 100
            ):
                continue
            clear = not any(h.left < right - NEAR and h.right > left + NEAR and h.sill < y + w and h.head > y for h in run.holes)
            if clear and u.foot <= y and u.top >= y + w and not held & {m.id for m in u.parts}:
                yield f"{u.member.id} at {u.x:.1f} crosses the row at {y:.1f} and has no bracket there"


def every_crossing_has_its_bracket(run: Run) -> Iterator[str]:
    """R4: wherever a stud, full or long enough, crosses a rail there is a bracket; on a splice, one for both parts."""
    w, over = run.p.stud_face_mm, run.p.short_stud_bracket_over_mm
    held = {(b.member_id, b.rail_id) for part in run.parts for b in part.layout.brackets}
    for left, right, m in _rails(run):
        for u in run.uprights:
            crosses = left + w / 2 <= u.x <= right - w / 2 and u.foot <= m.y_mm and u.top >= m.y_mm + w
            if crosses and u.top - u.foot > over and not any((part.id, m.id) in held for part in u.parts):
                yield f"{u.member.id} at {u.x:.1f} crosses {m.id} at {m.y_mm:.1f} and has no bracket on it"


def short_studs_have_their_own_rail(run: Run) -> Iterator[str]:
    """R3 on level walls: the extra rail below a sill and above a head, where no row is near and the strip is tall."""
    if not run.level or abs(run.floor(0)) > NEAR or len({(h.left, h.right) for h in run.holes}) != len(run.holes):
        return
    rows, p = rows_of(run), run.p
    ceiling = run.ceiling(0)
    for hole in run.holes:
        if any(h is not hole and h.left < hole.right and h.right > hole.left for h in run.holes):
            continue
        below, above = hole.sill - p.stud_clearance_mm, ceiling - hole.head - p.stud_clearance_mm
        shorts = [u for u in run.uprights if u.member.role is Role.SHORT_STUD and hole.left < u.x < hole.right]
        if not shorts:
            continue
        if hole.sill > 50 and below > p.short_stud_bracket_over_mm and below > p.opening_rail_gap_mm + p.stud_face_mm:
            yield from _own_rail(run, hole, hole.sill, -1, rows)
        if ceiling - hole.head > 50 and above > p.short_stud_bracket_over_mm and above > p.opening_rail_gap_mm + p.stud_face_mm:
            yield from _own_rail(run, hole, hole.head, 1, rows)


def _own_rail(run: Run, hole: Hole, edge: float, up: int, rows: list[float]) -> Iterator[str]:
    """A row's place is its underside; figures within a stud face of the 400 are left to either reading."""
    w, away = run.p.stud_face_mm, [up * (y - edge) for y in rows]
    crossed = any(-w <= a <= 400 + w for a in away)
    clearly_none = not crossed
    left, right = hole.left - 2 * w - NEAR, hole.right + 2 * w + NEAR  # it may go on to a stud on the pier beside
    own = [(m, x0, x1) for x0, x1, m in _rails(run) if m.role is Role.OPENING_RAIL and x1 > left and x0 < right]
    here = [(m, x0, x1) for m, x0, x1 in own if 0 < up * (m.y_mm + w / 2 - edge) <= run.p.opening_rail_gap_mm + 2 * w]
    if clearly_none:
        covered = sum(max(0.0, min(x1, hole.right) - max(x0, hole.left)) for _, x0, x1 in here)
        if covered < hole.right - hole.left - len(here):
            where = "above" if up > 0 else "below"
            yield f"{run.name}: opening {hole.wall}/{hole.ordinal} lacks its rail {where} {edge:.0f}, rows {rows}"
    elif any(x1 > hole.left + 1 and x0 < hole.right - 1 for _, x0, x1 in here) and any(w <= a <= 400 - w for a in away):
        yield f"{run.name}: opening {hole.wall}/{hole.ordinal} has its own rail though a row stands near {edge:.0f}, rows {rows}"


def corner_profiles_are_held_at_every_row(run: Run) -> Iterator[str]:
    """R4: one bracket a row for each corner profile, with the left-hand wall."""
    last = run.parts[-1]
    if last.layout.frame.right is not EndKind.INTERNAL_CORNER or not run.level or abs(run.floor(0)) > NEAR:
        return
    profiles = [m for m in last.layout.members if m.role is Role.CORNER_PROFILE and m.x_mm > last.wall.length_mm / 2]
    held = Counter(round(b.y_mm) for b in last.layout.brackets if b.member_id in {m.id for m in profiles})
    at_end = [y for left, right, m in _rails(run) for y in [m.y_mm] if m.role is Role.RAIL and right >= run.ends[1] - NEAR]
    top = max((m.y_mm + m.length_mm for m in profiles), default=0.0)
    expected = len({round(y, 2) for y in at_end if y + run.p.stud_face_mm <= top})
    short = sum(m.length_mm for m in profiles) <= run.p.max_stud_span_mm  # off the masonry it stands without, and may
    if profiles and sum(held.values()) < expected and not short and FindingCode.FRAME_UNHELD not in run.codes:
        yield f"{run.name}: {sum(held.values())} brackets on the corner profile, {expected} rows reach it"
