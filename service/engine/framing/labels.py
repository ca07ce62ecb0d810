"""Names for members: room/wall/role-number, counted from left to right on each wall; a letter for each part of a splice."""

from collections.abc import Mapping

from service.engine.framing.brackets import Hold
from service.engine.framing.pieces import Piece
from service.engine.results import Bracket, Member
from service.vocabulary import Component, Role

ROLE_ORDER = {role: i for i, role in enumerate(Role)}


def name_pieces(pieces: list[Piece], room: int) -> list[Piece]:
    """Gives every piece its id and returns them wall by wall, role by role, in the order of their numbers."""
    ordered = sorted(
        pieces,
        key=lambda q: (q.span.ordinal, ROLE_ORDER[q.role], (q.whole or q).x_mm, (q.whole or q).y_mm, q.part, q.x_mm, q.y_mm),
    )
    counts: dict[tuple[int, Role], int] = {}
    for piece in ordered:
        key = piece.span.ordinal, piece.role
        if piece.part <= 1:
            counts[key] = counts.get(key, 0) + 1
        letter = chr(ord("a") + piece.part - 1) if piece.part else ""
        piece.id = f"{room}/{piece.span.ordinal}/{piece.role.value}-{counts[key]:02d}{letter}"
    return ordered


def member_of(piece: Piece, room: int, components: Mapping[Role, Component]) -> Member:
    return Member(
        id=piece.id,
        role=piece.role,
        component=components[piece.role],
        room=room,
        wall=piece.span.ordinal,
        x_mm=piece.x_mm - piece.span.start_mm,
        y_mm=piece.y_mm,
        length_mm=piece.length_mm,
        direction=piece.direction,
        rules=piece.rules,
        splay_start_deg=piece.splay_start_deg,
        splay_end_deg=piece.splay_end_deg,
        y_end_mm=piece.y_end_mm,
        fold_marks_mm=piece.fold_marks_mm,
        joined_to=piece.joined_to.id if piece.joined_to is not None else None,
    )


def brackets_of(holds: list[Hold], room: int, wall: int, projection_mm: float) -> tuple[Bracket, ...]:
    """A wall's brackets from left to right and upwards, named like members."""
    here = sorted((h for h in holds if h.span.ordinal == wall), key=lambda h: (h.x_mm, h.y_mm))
    return tuple(
        Bracket(
            id=f"{room}/{wall}/bracket-{i:02d}",
            x_mm=h.x_mm - h.span.start_mm,
            y_mm=h.y_mm,
            member_id=h.piece.id,
            rail_id=h.rail.id,
            projection_mm=projection_mm,
        )
        for i, h in enumerate(here, start=1)
    )
