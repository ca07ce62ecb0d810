"""Referee of fixings: rules X1 and X2, counted again from the members."""

import math
from collections import Counter
from collections.abc import Iterator

from rooms.surveys import Case

from service.engine.results import Framing, Member
from service.vocabulary import RAIL_ROLES, STUD_ROLES, Component, Construction, Role, Substrate


def _fixing(case: Case, room: int, wall: int, role: Role) -> Component:
    surveyed = case.rooms[room - 1]
    if role is Role.FLOOR_CHANNEL:
        timber = surveyed.floor is Construction.TIMBER
    elif role is Role.CEILING_CHANNEL:
        timber = surveyed.ceiling is Construction.TIMBER
    else:
        timber = surveyed.walls[wall - 1].substrate is Substrate.TIMBER_FRAME
    return Component.TIMBER_FIXING if timber else Component.MASONRY_FIXING


def _lengths(members: list[Member]) -> list[int]:
    """Lengths of pieces; the parts of a spliced stud make one."""
    wholes: dict[str, list[Member]] = {}
    for m in members:
        wholes.setdefault(m.id if m.role not in STUD_ROLES else m.id.rstrip("abcdefgh"), []).append(m)
    return [
        round(max(m.y_mm + m.length_mm for m in parts) - min(m.y_mm for m in parts)) if len(parts) > 1 else parts[0].length_mm
        for parts in wholes.values()
    ]


def runs_are_fixed_at_their_spacing(case: Case, framing: Framing) -> Iterator[str]:
    """X1: ceil(length / spacing) + 1 a piece of floor, ceiling and rail, each piece once, fixed by what it stands on."""
    spacing = case.parameters.channel_fixing_spacing_mm
    for layout in framing.layouts:
        by_id = {m.id: m for m in layout.members}
        times: Counter[str] = Counter()
        for fixing in layout.fixings:
            if (
                (fixing.room, fixing.wall) != (layout.room, layout.wall)
                or fixing.count < 0
                or not fixing.terms
                or not fixing.rules
            ):
                yield f"{layout.room}/{layout.wall}: {fixing.role} {fixing.component} lacks its place, count, terms or rules"
            if fixing.component not in (Component.TIMBER_FIXING, Component.MASONRY_FIXING):
                continue
            members = [by_id[m] for m in fixing.members if m in by_id]
            if len(members) != len(fixing.members):
                yield f"{layout.room}/{layout.wall}: {fixing.role} fixings name members of another wall: {fixing.members}"
            times.update(fixing.members)
            expected = sum(math.ceil(length / spacing - 1e-9) + 1 for length in _lengths(members))
            if fixing.count != expected:
                yield f"{layout.room}/{layout.wall}: {fixing.count} {fixing.component} for {fixing.members}, not {expected}"
            for m in members:
                if m.role in {Role.FLOOR_CHANNEL, Role.CEILING_CHANNEL} | RAIL_ROLES and fixing.component is not _fixing(
                    case, layout.room, layout.wall, m.role
                ):
                    yield f"{m.id} is fixed with {fixing.component}"
        for m in layout.members:
            wanted = m.role in {Role.FLOOR_CHANNEL, Role.CEILING_CHANNEL} | RAIL_ROLES
            if (wanted and times[m.id] != 1) or times[m.id] > 1:
                yield f"{m.id} is fixed {times[m.id]} times over"


def frame_screws_hold_every_trim(case: Case, framing: Framing) -> Iterator[str]:
    """X2: at least two screws at each end of a trim and at each short stud; as specified at both ends of a full stud."""
    per_end = case.parameters.frame_screws_per_stud_end
    full = {Role.STUD, Role.END_STUD, Role.JAMB_STUD, Role.EXTRA_STUD}
    for layout in framing.layouts:
        screws: Counter[Role] = Counter()
        for fixing in layout.fixings:
            if fixing.component is Component.FRAME_SCREW:
                screws[fixing.role] += fixing.count
        count = Counter(m.role for m in layout.members if m.joined_to is None)
        for role in count:
            if role in full and screws[role] < 2 * per_end * count[role]:
                yield f"{layout.room}/{layout.wall}: {screws[role]} screws for {count[role]} {role}"
            if role is Role.SHORT_STUD and screws[role] < 2 * count[role]:
                yield f"{layout.room}/{layout.wall}: {screws[role]} screws for {count[role]} short studs"
            if role in (Role.HEAD_TRIM, Role.SILL_TRIM) and screws[role] < 4 * count[role]:
                yield f"{layout.room}/{layout.wall}: {screws[role]} screws for {count[role]} {role}"
            if role is Role.CORNER_PROFILE and screws[role] != 2 * count[role]:
                yield f"{layout.room}/{layout.wall}: {screws[role]} screws for {count[role]} corner profiles"
