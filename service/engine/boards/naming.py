"""Names for boards and linings, and what a piece says of itself once it has one."""

from service.engine.boards.pieces import BoardPiece
from service.engine.boards.reveals import RevealPiece
from service.engine.geometry.cuts import FeatureCut
from service.engine.results import CutOut, FlatPiece
from service.engine.units import EPSILON, tenth
from service.vocabulary import Component, PieceRole

Numbers = dict[tuple[int, int, PieceRole], int]
"""How many of a role a wall (room, wall) has so far."""


def next_number(numbers: Numbers, room: int, wall: int, role: PieceRole) -> int:
    key = (room, wall, role)
    numbers[key] = numbers.get(key, 0) + 1
    return numbers[key]


def board_of(piece: BoardPiece, label: str, room: int, bevels: tuple[float, float]) -> FlatPiece:
    """A piece of the face, in its wall's own x."""
    start = piece.span.start_mm
    low, high = piece.y0_mm, piece.y1_mm
    outs = _cut_outs(piece)
    return FlatPiece(
        id=label, component=Component.PLASTERBOARD, role=PieceRole.BOARD, room=room, wall=piece.span.ordinal,
        x_mm=piece.x0_mm - start, y_mm=low,
        width_mm=tenth(piece.x1_mm - piece.x0_mm), length_mm=tenth(high - low),
        rules=(*piece.rules, *dict.fromkeys(rule for out in outs for rule in out.rules if rule not in piece.rules)),
        height_left_mm=piece.top.y0_mm - low, height_right_mm=piece.top.y1_mm - low,
        foot_left_mm=piece.foot.y0_mm - low, foot_right_mm=piece.foot.y1_mm - low,
        layer=piece.column.layer, bevel_left_mm=bevels[0], bevel_right_mm=bevels[1],
        cut_outs=outs, area_mm2=piece.area_mm2, outline_mm=_outline(piece),
    )  # fmt: skip


def _outline(piece: BoardPiece) -> tuple[tuple[float, float], ...]:
    """Its corners in turn, where foot or top bends: four edges say all of any other."""
    if len(piece.foot.points) == len(piece.top.points) == 2:
        return ()
    return tuple((x - piece.x0_mm, y - piece.y0_mm) for x, y in (*piece.foot.points, *reversed(piece.top.points)))


def _cut_outs(piece: BoardPiece) -> tuple[CutOut, ...]:
    outs = []
    for cut in piece.cuts:
        a, b = max(cut.x0_mm, piece.x0_mm), min(cut.x1_mm, piece.x1_mm)
        low, high = max(cut.y0_mm, piece.y0_mm), min(cut.y1_mm, piece.y1_mm)
        if b - a > EPSILON and high - low > EPSILON:
            feature = cut.of if isinstance(cut.of, FeatureCut) else None
            outs.append(
                CutOut(
                    x_mm=a - piece.x0_mm, y_mm=low - piece.y0_mm, width_mm=b - a, height_mm=high - low,
                    rules=("B3", "B5") if feature is None else ("B3", *feature.rules),
                    feature=None if feature is None else (feature.wall, feature.feature),
                    diameter_mm=None if feature is None else feature.diameter_mm,
                )
            )  # fmt: skip
    return tuple(outs)


def lining_of(piece: RevealPiece, label: str, room: int, start_mm: float) -> FlatPiece:
    return FlatPiece(
        id=label, component=Component.INSULATED_LAMINATE, role=piece.role, room=room, wall=piece.placed.wall,
        x_mm=piece.x_mm - start_mm, y_mm=piece.y_mm, width_mm=tenth(piece.depth_mm), length_mm=tenth(piece.length_mm),
        rules=("B5",), height_left_mm=piece.length_mm, height_right_mm=piece.length_mm,
        area_mm2=piece.depth_mm * piece.length_mm, opening=piece.placed.ordinal,
    )  # fmt: skip


def strip_of(
    label: str, room: int, wall: int, x_mm: float, y_mm: float, width_mm: float, height_mm: float, layer: int
) -> FlatPiece:
    """The side of a stop end (F2)."""
    return FlatPiece(
        id=label, component=Component.PLASTERBOARD, role=PieceRole.STOP_END_STRIP, room=room, wall=wall,
        x_mm=x_mm, y_mm=y_mm, width_mm=tenth(width_mm), length_mm=tenth(height_mm), rules=("F2",),
        height_left_mm=height_mm, height_right_mm=height_mm, area_mm2=width_mm * height_mm, layer=layer,
    )  # fmt: skip
