"""Referee of channels, trims and corner profiles: rules C1 to C4; and of what all members share: ids, whole mm, stock."""

import math
import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from rooms.surveys import Case

from properties.rails import stretches
from properties.reading import NEAR, Run, ends_of
from service.engine.results import Framing, Member
from service.finding_codes import FindingCode
from service.vocabulary import RAIL_ROLES, Component, Direction, EndKind, Role

RUNS = (Role.FLOOR_CHANNEL, Role.CEILING_CHANNEL)


def _reaching(run: Run, role: Role) -> list[tuple[float, float, bool]]:
    """Openings that interrupt this channel: left, right, and whether that is beyond doubt (on a slope it may not be)."""
    found = []
    for h in run.holes:
        low, floor, ceiling, top = run.over(h.left, h.right)
        gaps = (h.sill - floor, h.sill - low) if role is Role.FLOOR_CHANNEL else (ceiling - h.head, top - h.head)
        if min(gaps) <= 50 + NEAR:
            found.append((h.left, h.right, max(gaps) <= 50 + NEAR))
    return found


def _pieces(run: Run, role: Role) -> list[tuple[float, float, Member]]:
    found = []
    for part, m in run.of(role):
        rise = 0.0 if m.y_end_mm is None else m.y_end_mm - m.y_mm
        found.append((part.at + m.x_mm, part.at + m.x_mm + math.sqrt(max(0.0, m.length_mm**2 - rise**2)), m))
    return sorted(found, key=lambda piece: piece[:2])


def channels_tile_the_frame_line(run: Run) -> Iterator[str]:
    """C1: floor and ceiling channels cover the frame line less the openings that reach, once."""
    for role in RUNS:
        holes = _reaching(run, role)
        if any(not sure for *_, sure in holes):
            continue
        free = [(run.ends[0], run.ends[1])]
        for left, right, _ in holes:
            free = [part for a, b in free for part in ((a, min(b, left)), (max(a, right), b)) if part[1] - part[0] >= 1]
        pieces = _pieces(run, role)
        slack = 1.0 + (0 if run.level else 2.0) + 2 * len(run.parts)
        for a, b in free:
            inside = [(x0, x1, m) for x0, x1, m in pieces if x0 >= a - NEAR and x1 <= b + NEAR]
            covered = sum(x1 - x0 for x0, x1, _ in inside)
            if not b - a - slack - len(inside) * (not run.level) <= covered <= b - a + NEAR:
                yield f"{run.name}: {role} covers {covered:.1f} of {b - a:.1f} from {a:.1f} to {b:.1f}"
            whole = sum(m.length_mm for *_, m in inside)
            if run.level and len(run.parts) == 1 and whole != math.floor(b - a + 1e-6):
                yield f"{run.name}: {role} pieces sum to {whole}, the run is {b - a:.2f}, to be rounded down"
        for (x0, x1, m), (y0, _, n) in pairwise(pieces):
            if x1 > y0 + NEAR:
                yield f"{m.id} ends at {x1:.1f}, {n.id} starts at {y0:.1f}"
            if x0 < run.ends[0] - NEAR:
                yield f"{m.id} starts before the frame"
        for x0, x1, m in pieces:
            if not any(a - NEAR <= x0 and x1 <= b + NEAR for a, b in free):
                yield f"{m.id} ({x0:.1f} to {x1:.1f}) runs into an opening or past the frame {run.ends}"


def channels_lie_on_floor_and_ceiling(run: Run) -> Iterator[str]:
    """C1: both ends of every piece lie on the floor or ceiling, and its length is the distance between them, rounded down."""
    for role in RUNS:
        for part, m in run.of(role):
            at = part.wall.floor_at if role is Role.FLOOR_CHANNEL else part.wall.ceiling_at
            slope = (at(part.wall.length_mm) - at(0)) / part.wall.length_mm
            end = m.y_mm if m.y_end_mm is None else m.y_end_mm
            x1 = m.x_mm + m.length_mm * math.cos(math.atan(slope))
            if abs(m.y_mm - at(m.x_mm)) > NEAR or abs(end - at(x1)) > NEAR + abs(slope):
                yield f"{m.id}: from {m.y_mm:.1f} to {end:.1f}, it should follow {at(m.x_mm):.1f} to {at(x1):.1f}"


def trims_close_every_head_and_sill(run: Run) -> Iterator[str]:
    """C3: head and sill trims where the edge does not reach ceiling or floor; width and both returns; folds at the edges."""
    back = run.p.trim_return_mm
    for role, edge_of in ((Role.HEAD_TRIM, "head"), (Role.SILL_TRIM, "sill")):
        trims = [(part.at + m.x_mm, m) for part, m in run.of(role)]
        for hole in run.holes:
            edge = getattr(hole, edge_of)
            own = [
                (x, m) for x, m in trims if abs(m.y_mm - edge) < NEAR and hole.left - back - NEAR <= x < hole.right + back + NEAR
            ]
            twins = [h for h in run.holes if h is not hole and abs(getattr(h, edge_of) - edge) < NEAR]
            own = [(x, m) for x, m in own if not any(abs(x - h.left + back) < NEAR for h in twins)]
            gap = _gap_at(run, hole, edge_of)
            if not gap:
                if own and gap is False:
                    yield f"{run.name}: opening {hole.wall}/{hole.ordinal} reaches, yet has {[m.id for _, m in own]}"
                continue
            total, expected = sum(m.length_mm for _, m in own), math.floor(hole.right - hole.left + 2 * back + 1e-6)
            if not own or abs(min(x for x, _ in own) - (hole.left - back)) > NEAR or not expected - len(own) < total:
                lengths = [(x, m.length_mm) for x, m in own]
                yield f"{run.name}: opening {hole.wall}/{hole.ordinal} has {edge_of} trims {lengths}, wanted {expected}"
            elif len(own) == 1 and (
                total != expected or (back and own[0][1].fold_marks_mm != (round(back), round(total - back)))
            ):
                folds = own[0][1].fold_marks_mm
                yield f"{own[0][1].id}: {total} long, folds {folds}, wanted {expected} and folds {back:g} from each end"


def trims_are_joined_on_a_short_stud(run: Run) -> Iterator[str]:
    """C3: where a trim is longer than stock its joint lies on a short stud, or a finding says that none is there."""
    if FindingCode.TRIM_JOINT_UNSUPPORTED in run.codes:
        return
    half, slack = run.p.stud_face_mm / 2 + NEAR, run.p.stud_clearance_mm + 1
    for part, m in run.of(Role.HEAD_TRIM, Role.SILL_TRIM):
        x = part.at + m.x_mm
        ends = [u for u in run.uprights if abs(u.x - x) <= half and min(abs(u.foot - m.y_mm), abs(u.top - m.y_mm)) <= slack]
        if m.joined_to is not None and not ends:
            yield f"{m.id}: joined at {x:.1f}, where no short stud stands"


def stop_ends_have_their_channel(run: Run) -> Iterator[str]:
    """F2: one upright U-section at every stop end, none elsewhere."""
    ends = (run.parts[0].layout.frame.left, run.parts[-1].layout.frame.right)
    found = {(round(part.at + m.x_mm), m.y_mm) for part, m in run.of(Role.STOP_END_CHANNEL)}
    if len({x for x, _ in found}) != sum(kind is EndKind.STOP_END for kind in ends):
        yield f"{run.name}: ends {ends}, stop end channels at {sorted(found)}"


def _gap_at(run: Run, hole: object, edge_of: str) -> bool | None:
    """True where the edge clearly does not reach, False where it clearly does, None on a slope where it does partly."""
    low, floor, ceiling, top = run.over(hole.left, hole.right)  # type: ignore[attr-defined]
    gaps = (ceiling - hole.head, top - hole.head) if edge_of == "head" else (hole.sill - floor, hole.sill - low)  # type: ignore[attr-defined]
    if min(gaps) > 50 + NEAR:
        return True
    return False if max(gaps) <= 50 + NEAR else None


def runs_are_split_as_seldom_as_can_be(run: Run) -> Iterator[str]:
    """C4: full lengths and a remainder; a remainder under the least piece is made up from the last full one."""
    for roles, stock in ((RUNS, run.case.channel_stock_mm), (tuple(RAIL_ROLES), run.case.stud_stock_mm)):
        longest = max(stock)
        for role in roles:
            for _, _, members in stretches(run, role) if run.level and len(run.parts) == 1 else ():
                lengths = sorted((m.length_mm for m in members), reverse=True)
                total = sum(lengths)
                if lengths[0] > longest:
                    yield f"{members[0].id}: {lengths[0]} is longer than the stock of {longest}"
                if len(lengths) != math.ceil(total / longest):
                    yield f"{members[0].id}: {total} in pieces {lengths}, {math.ceil(total / longest)} of {longest} do"
                least = min(run.p.run_min_piece_mm, longest / 2)
                rest = total - (len(lengths) - 1) * longest
                expected = [longest] * (len(lengths) - 1) + [rest]
                if len(lengths) > 1 and rest < least:
                    made_up = math.ceil(least - 1e-6)
                    expected = [longest] * (len(lengths) - 2) + sorted([longest - (made_up - rest), made_up], reverse=True)
                if any(abs(a - b) > 1 for a, b in zip(lengths, sorted(expected, reverse=True), strict=False)):
                    yield f"{members[0].id}: {total} is split into {lengths}, the rule gives {expected}"


def corner_profiles_stand_once_at_each_corner(case: Case, framing: Framing) -> Iterator[str]:
    """C2: one upright at each internal corner of two lined walls that both have a frame; the lower height less clearance."""
    p = case.parameters
    layouts = {(layout.room, layout.wall): layout for layout in framing.layouts}
    expected: set[tuple[int, int]] = set()
    for (r, w), layout in layouts.items():
        room = case.rooms[r - 1]
        nxt = w % len(room.walls) + 1
        _, end = ends_of(room, w - 1, p)
        while (r, nxt) not in layouts and ends_of(room, nxt - 1, p)[1].kind is EndKind.JOINED and nxt != w:
            nxt = nxt % len(room.walls) + 1  # a run may start past its first wall, behind the neighbour's lining
        if end.kind is not EndKind.INTERNAL_CORNER or (r, nxt) not in layouts:
            continue
        if layout.frame.right is not EndKind.INTERNAL_CORNER or layouts[r, nxt].frame.left is not EndKind.INTERNAL_CORNER:
            continue
        expected.add((r, w))
        own = sorted((m for m in layout.members if m.role is Role.CORNER_PROFILE), key=lambda m: m.y_mm)
        if not own or any(abs(a.y_mm + a.length_mm - b.y_mm) > NEAR for a, b in pairwise(own)):
            yield f"{r}/{w}: corner profiles {[(m.y_mm, m.length_mm) for m in own]} at its right-hand corner"
            continue
        a, b = room.walls[w - 1], room.walls[nxt - 1]
        if (
            a.height_left_mm == a.height_right_mm
            and b.height_left_mm == b.height_right_mm
            and not (a.floor_left_mm or a.floor_right_mm or b.floor_left_mm or b.floor_right_mm)
        ):
            length = math.floor(min(a.height_right_mm, b.height_left_mm) - p.stud_clearance_mm + 1e-6)
            total = sum(m.length_mm for m in own)
            if total != length:
                yield f"{own[0].id}: {total} long, the lower height gives {length}"
    for (r, w), layout in layouts.items():
        if (
            (r, w) not in expected
            and layout.frame.right is not EndKind.INTERNAL_CORNER
            and any(m.role is Role.CORNER_PROFILE for m in layout.members)
        ):
            yield f"{r}/{w}: a corner profile where no internal corner of two framed walls is"


def members_are_well_named(case: Case, framing: Framing) -> Iterator[str]:
    """Ids are unique; within a wall and role they count from 01 without gaps; lengths are whole mm above nothing (Q0)."""
    seen: set[str] = set()
    for layout in framing.layouts:
        numbers: dict[Role, set[int]] = defaultdict(set)
        for m in layout.members:
            if m.id in seen:
                yield f"{m.id} is used twice"
            seen.add(m.id)
            named = re.fullmatch(rf"{layout.room}/{layout.wall}/{m.role}-(\d\d+)([a-z]?)", m.id)
            if named is None or (m.room, m.wall) != (layout.room, layout.wall):
                yield f"{m.id} does not name the {m.role} of wall {layout.room}/{layout.wall}"
                continue
            numbers[m.role].add(int(named[1]))
            if not isinstance(m.length_mm, int) or m.length_mm <= 0:
                yield f"{m.id}: {m.length_mm!r} is no whole length"
            if m.direction not in (Direction.UP, Direction.ALONG) or not m.rules:
                yield f"{m.id}: direction {m.direction}, rules {m.rules}"
        for role, found in numbers.items():
            if sorted(found) != list(range(1, len(found) + 1)):
                yield f"{layout.room}/{layout.wall}: {role} is numbered {found}"
        ids = [b.id for b in layout.brackets]
        if len(set(ids)) != len(ids):
            yield f"{layout.room}/{layout.wall}: bracket ids repeat"


def nothing_is_longer_than_stock(case: Case, framing: Framing) -> Iterator[str]:
    """C4, S7, C3: pieces that can be split or joined are; any other piece longer than stock has its finding."""
    stock = {Component.C_STUD: max(case.stud_stock_mm), Component.U_CHANNEL: max(case.channel_stock_mm)}
    for layout in framing.layouts:
        codes = {f.code for f in framing.findings if f.room == layout.room and f.wall in (None, layout.wall)}
        for m in layout.members:
            if m.length_mm > stock[m.component] and FindingCode.NO_STOCK_LONG_ENOUGH not in codes:
                yield f"{m.id} is {m.length_mm} long, the longest {m.component} {stock[m.component]}, not said"
