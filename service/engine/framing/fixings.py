"""Fixings to floor, ceiling and walls, and the screws that hold the frame together: rules X1 and X2."""

from service.engine.framing.pieces import Piece, StudLine, Upright
from service.engine.geometry.corners import End
from service.engine.inputs import Room
from service.engine.parameters import Parameters
from service.engine.results import Fixings
from service.engine.units import ceil_div
from service.vocabulary import RAIL_ROLES, Component, Construction, EndKind, Role, Substrate

SCREWS_PER_SHORT_STUD_END = 2
SCREWS_PER_PROFILE = 2
SCREWS_PER_TRIM_END = 2
SCREWS_PER_SPLICE = 4


def into(construction: Construction) -> Component:
    return Component.TIMBER_FIXING if construction is Construction.TIMBER else Component.MASONRY_FIXING


def into_wall(substrate: Substrate) -> Component:
    return Component.TIMBER_FIXING if substrate is Substrate.TIMBER_FRAME else Component.MASONRY_FIXING


def run_fixings(pieces: list[Piece], number: int, room: Room, p: Parameters) -> list[Fixings]:
    """X1 for pieces of floor and ceiling channel, rails and stop-end uprights: one at each end and at most the spacing apart."""
    fixings = []
    for piece in pieces:
        if piece.role is Role.FLOOR_CHANNEL:
            component = into(room.floor)
        elif piece.role is Role.CEILING_CHANNEL:
            component = into(room.ceiling)
        elif piece.role in RAIL_ROLES or piece.role is Role.STOP_END_CHANNEL:
            component = into_wall(piece.span.wall.substrate)
        else:
            continue
        fixings.append(spaced(component, piece.role, piece, piece.length_mm, [piece], number, p, "X1"))
    return fixings


def spaced(
    component: Component, role: Role, at: Piece, length_mm: int, pieces: list[Piece], room: int, p: Parameters, *rules: str
) -> Fixings:
    count = ceil_div(length_mm, p.channel_fixing_spacing_mm) + 1
    terms = f"ceil({length_mm} / {p.channel_fixing_spacing_mm:g}) + 1"
    return _fixings(component, role, at, room, count, terms, pieces, rules)


def _fixings(
    component: Component, role: Role, at: Piece, room: int, count: int, terms: str, pieces: list[Piece], rules: tuple[str, ...]
) -> Fixings:
    return Fixings(
        component=component, role=role, room=room, wall=at.span.ordinal, count=count, terms=terms,
        members=tuple(piece.id for piece in pieces), rules=rules,
    )  # fmt: skip


def stud_screws(lines: list[StudLine], room: int, p: Parameters) -> list[Fixings]:
    """X2 for studs: by the specification at both ends of a full stud, two at each end of a short one, four a splice."""
    fixings = []
    for line in lines:
        for upright in line.uprights:
            fixings += _upright_screws(upright, room, p)
    return fixings


def _upright_screws(upright: Upright, room: int, p: Parameters) -> list[Fixings]:
    first, found = upright.pieces[0], []
    each = p.frame_screws_per_stud_end if upright.full else SCREWS_PER_SHORT_STUD_END
    if each:
        found.append(
            _fixings(Component.FRAME_SCREW, first.role, first, room, 2 * each, f"2 ends × {each}", upright.pieces, ("X2",))
        )
    splices = len(upright.pieces) - 1
    if splices:
        terms = f"{splices} × {SCREWS_PER_SPLICE}"
        count = splices * SCREWS_PER_SPLICE
        found.append(_fixings(Component.FRAME_SCREW, first.role, first, room, count, terms, upright.pieces, ("X2", "S7")))
    return found


def channel_screws(pieces: list[Piece], room: int) -> list[Fixings]:
    """X2 for corner profiles, and for trims: two at each end, four where two parts are joined."""
    fixings = []
    for piece in pieces:
        if piece.role is Role.CORNER_PROFILE:
            terms = f"{SCREWS_PER_PROFILE} a profile"
            fixings.append(_fixings(Component.FRAME_SCREW, piece.role, piece, room, SCREWS_PER_PROFILE, terms, [piece], ("X2",)))
        elif piece.role in (Role.HEAD_TRIM, Role.SILL_TRIM):
            if piece.joined_to is not None:
                terms = f"1 splice × {SCREWS_PER_SPLICE}"
                parts = [piece.joined_to, piece]
                fixings.append(
                    _fixings(Component.FRAME_SCREW, piece.role, piece, room, SCREWS_PER_SPLICE, terms, parts, ("X2", "C3"))
                )
            else:
                count = 2 * SCREWS_PER_TRIM_END
                terms = f"2 ends × {SCREWS_PER_TRIM_END}"
                fixings.append(_fixings(Component.FRAME_SCREW, piece.role, piece, room, count, terms, [piece], ("X2",)))
    return fixings


def end_stud_fixings(end: End | None, stud: Upright | None, room: int, p: Parameters) -> list[Fixings]:
    """X1 for an end stud that stands against an unlined wall; the return of an open run is taken to be built like the wall."""
    if end is None or stud is None or end.kind is not EndKind.UNLINED_WALL:
        return []
    first = stud.pieces[0]
    substrate = (end.neighbour_wall or first.span.wall).substrate
    return [spaced(into_wall(substrate), first.role, first, stud.length_mm, stud.pieces, room, p, "X1")]


def corner_stud_screws(left: Upright | None, right: Upright | None, room: int, p: Parameters) -> list[Fixings]:
    """S1: the two studs that meet at a lined external corner are screwed together, spaced like the fixings of a channel."""
    if left is None or right is None:
        return []
    length = min(left.length_mm, right.length_mm)
    pieces = [*left.pieces, *right.pieces]
    return [spaced(Component.FRAME_SCREW, left.pieces[0].role, left.pieces[0], length, pieces, room, p, "X2", "S1")]
