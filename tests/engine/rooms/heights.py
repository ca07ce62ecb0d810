"""Floors and ceilings over an outline: level, raking (down to nothing too), gabled, sloping floors, stairs."""

import math

from rooms.dice import Dice, chance, one_of, weighted

Ends = tuple[int, int, int, int]
"""Height at the left and right end, floor at the left and right end, in mm."""

GREATEST_HEIGHT = 5200
LEAST_HEIGHT = 150
"""Both ends of a wall are never lower than this: such a wall would not be there."""


def room_height(dice: Dice) -> int:
    return weighted(
        dice,
        [
            (6, one_of(dice, (2400, 2700, 2350, 2550, 3000))),
            (2, dice.whole(1900, 3400)),
            (2, dice.whole(3400, GREATEST_HEIGHT)),
            (1, dice.whole(300, 1900)),
        ],
    )


def _plane(dice: Dice, points: list[tuple[float, float]], top: int, low: int) -> list[int]:
    """Heights at the points of a plane that falls from `top` towards `low` across the room, no steeper than 60 degrees."""
    towards = math.radians(weighted(dice, [(3, one_of(dice, (0, 90, 180, 270))), (1, dice.whole(0, 359))]))
    reach = [x * math.cos(towards) + y * math.sin(towards) for x, y in points]
    span = max(reach) - min(reach) or 1.0
    low = max(low, round(top - 1.7 * span))
    return [round(top - (top - low) * (r - min(reach)) / span) for r in reach]


def ends_of_walls(dice: Dice, points: list[tuple[float, float]], lengths: list[int], closed: bool) -> list[Ends]:
    """One entry a wall; `points` as `outlines.vertices` gives them (one more than walls)."""
    top = room_height(dice)
    count = len(lengths)
    heights = [top] * (count + 1)
    floors = [0] * (count + 1)
    kind = weighted(dice, [(13, "level"), (3, "rake"), (1, "nothing"), (2, "gable"), (2, "slope"), (2, "stairs")])
    if kind == "rake":
        heights = _plane(dice, points, top, dice.whole(min(200, top), top))
    elif kind == "nothing":
        heights = _plane(dice, points, top, 0)
    elif kind == "gable":
        heights = _gables(dice, top, lengths)
    elif kind == "slope":
        floors = _plane(dice, points, dice.whole(0, 120), -dice.whole(0, 120))
        heights = [max(LEAST_HEIGHT, top - floor) for floor in floors]
    if closed and kind != "gable":
        heights[-1], floors[-1] = heights[0], floors[0]
    ends = [(heights[i], heights[i + 1], floors[i], floors[i + 1]) for i in range(count)]
    if kind == "stairs":
        ends = [_stairs(dice, lengths[i], top) if chance(dice, 40) else ends[i] for i in range(count)]
    if chance(dice, 8):
        i = dice.whole(0, count - 1)
        left, right, *floor = ends[i]
        drop = dice.whole(50, 700)
        ends[i] = (max(0, left - drop), max(0, right - drop), floor[0], floor[1])
    return [_worth_a_wall(end) for end in ends]


def _gables(dice: Dice, top: int, lengths: list[int]) -> list[int]:
    """Heights that go up and down from corner to corner, never steeper than 50 degrees."""
    heights = [top]
    for length in lengths:
        most = min(900, round(length * 1.2))
        heights.append(min(GREATEST_HEIGHT, max(LEAST_HEIGHT, heights[-1] + dice.whole(-most, most))))
    return heights


def _stairs(dice: Dice, length: int, top: int) -> Ends:
    """A flight along the wall: the ceiling rises with it, stays level, or the space under it comes down to nothing."""
    rise = min(2600, round(length * 0.8))
    kind = one_of(dice, ("with", "level", "under"))
    if kind == "with":
        ends = (top, top, 0, rise)
    elif kind == "level":
        ends = (min(GREATEST_HEIGHT, top + rise), min(GREATEST_HEIGHT, top + rise) - rise, 0, rise)
    else:
        ends = (min(rise, 2600), 0, 0, 0)
    if chance(dice, 50):
        ends = (ends[1], ends[0], ends[3], ends[2])
    return ends


def _worth_a_wall(ends: Ends) -> Ends:
    left, right, *floor = ends
    if max(left, right) < LEAST_HEIGHT:
        left = right = LEAST_HEIGHT
    return left, right, floor[0], floor[1]
