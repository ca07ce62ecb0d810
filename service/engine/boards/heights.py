"""How high the boards of a tall column are: rule B4."""

from collections.abc import Sequence
from itertools import pairwise

from service.engine.units import EPSILON

LEAST_PIECE_MM = 300.0
"""No piece of a column is lower than this."""

LAYERS_APART_MM = 600.0
"""Horizontal joints of two layers keep this far from each other."""


def joint_heights(low: float, high: float, longest: float, *, from_foot: bool, clear_of: Sequence[float] = ()) -> list[float]:
    """Heights of the horizontal joints between `low` and `high`, rising: full boards from the foot or from the top, the last one
    made up to 300.

    Args: clear_of: joints of the layer before. Full boards are laid both ways from just 600 off one of them as well; of the ways
        that keep 600 off all, the one with fewest boards is taken, else the one that keeps furthest off.
    """
    ways = [_full_boards(low, high, longest, up=from_foot)]
    if clear_of:
        ways.append(_full_boards(low, high, longest, up=not from_foot))
        starts = sorted({y + off for y in clear_of for off in (-LAYERS_APART_MM, LAYERS_APART_MM)}, reverse=from_foot)
        ways += [way for start in starts if (way := _from(start, low, high, longest))]
    return min(ways, key=lambda way: (-min(LAYERS_APART_MM, nearest(way, clear_of)), len(way)))


def nearest(joints: Sequence[float], others: Sequence[float]) -> float:
    """The least distance between two of them; without end where there are none."""
    return min((abs(y - other) for y in joints for other in others), default=float("inf"))


def _full_boards(low: float, high: float, longest: float, *, up: bool) -> list[float]:
    lengths, rest = [], high - low
    while rest > longest + EPSILON:
        lengths.append(longest)
        rest -= longest
    if lengths and rest < LEAST_PIECE_MM:
        lengths[-1] -= LEAST_PIECE_MM - rest
    heights, y = [], low if up else high
    for length in lengths:
        y += length if up else -length
        heights.append(y)
    return sorted(heights)


def _from(start: float, low: float, high: float, longest: float) -> list[float]:
    """Full boards both ways from a joint at `start`; empty where that leaves a piece too low."""
    joints = [*_full_boards(low, start, longest, up=False), start, *_full_boards(start, high, longest, up=True)]
    heights = [b - a for a, b in pairwise([low, *joints, high])]
    return joints if min(heights) >= LEAST_PIECE_MM - EPSILON else []
