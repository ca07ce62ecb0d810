"""Where the pieces of the outermost layer meet each other and the ceiling: the lines that are taped (B7)."""

from collections import defaultdict
from dataclasses import dataclass

from service.engine.boards.pieces import BoardPiece
from service.engine.units import EPSILON

INSIDE_MM = 1e-3
"""At its upright edge a piece is what it is just inside."""

TOUCH_MM = 0.05
"""Pieces that share less of an upright edge meet in a point only."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A line between two pieces; `upright` or along. `piece`: the left-hand or lower one."""

    piece: BoardPiece
    upright: bool
    length_mm: float
    x_mm: float
    y_mm: float


def level_joints(joints: list[Joint]) -> list[tuple[float, float, float]]:
    """Of these joints the horizontal ones: from, to, height."""
    return [(joint.x_mm, joint.x_mm + joint.length_mm, joint.y_mm) for joint in joints if not joint.upright]


def joints_of(pieces: list[BoardPiece]) -> list[Joint]:
    """Every line along which two of these pieces of one layer meet, from left to right and upwards."""
    found = [*_upright_joints(pieces), *_level_joints(pieces)]
    return sorted(found, key=lambda j: (j.x_mm, j.y_mm, j.upright))


def _upright_joints(pieces: list[BoardPiece]) -> list[Joint]:
    starts: dict[float, list[BoardPiece]] = defaultdict(list)
    for piece in pieces:
        starts[_key(piece.x0_mm)].append(piece)
    joints = []
    for left in pieces:
        x = left.x1_mm
        for right in starts.get(_key(x), ()):
            for a, b in _edge(left, x, from_left=True):
                for c, d in _edge(right, x, from_left=False):
                    low, high = max(a, c), min(b, d)
                    if high - low > TOUCH_MM:
                        joints.append(Joint(left, True, high - low, x, low))
    return joints


def _edge(piece: BoardPiece, x: float, *, from_left: bool) -> list[tuple[float, float]]:
    """The heights over which a piece has an upright edge at x, its end; a cut-out that reaches the edge leaves a gap."""
    inside = x - INSIDE_MM if from_left else x + INSIDE_MM
    return [(a, b) for a, b in piece.parts_at(inside) if b - a > EPSILON]


def _level_joints(pieces: list[BoardPiece]) -> list[Joint]:
    feet: dict[float, list[tuple[float, float, BoardPiece]]] = defaultdict(list)
    for piece in pieces:
        for a, b, y in piece.foot.level_parts():
            feet[_key(y)].append((a, b, piece))
    joints = []
    for lower in pieces:
        for a, b, y in lower.top.level_parts():
            for c, d, upper in feet.get(_key(y), ()):
                u, v = max(a, c), min(b, d)
                if v - u > EPSILON:
                    joints += [Joint(lower, False, t - s, s, y) for s, t in _left_by_cuts(lower, upper, y, u, v)]
    return joints


def _left_by_cuts(lower: BoardPiece, upper: BoardPiece, y: float, a: float, b: float) -> list[tuple[float, float]]:
    """What openings that reach a level joint from below or above leave of it."""
    free = [(a, b)]
    reach = [cut for cut in lower.cuts if cut.y1_mm > y - EPSILON] + [cut for cut in upper.cuts if cut.y0_mm < y + EPSILON]
    for cut in reach:
        free = [part for u, v in free for part in ((u, min(v, cut.x0_mm)), (max(u, cut.x1_mm), v))]
        free = [(u, v) for u, v in free if v - u > EPSILON]
    return free


def _key(value: float) -> float:
    return round(value, 4)
