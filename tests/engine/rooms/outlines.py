"""Outlines of rooms in plan: strokes (length, interior angle at the right-hand end), clockwise, that close to within rounding.

A closed outline starts from a plain polygon; its sides are then dressed with what real rooms have: chimney breasts, recesses,
bays, piers of masonry, spikes, joints within one line. Each comes back to the line it left, so the outline still closes.
"""

import math

from rooms.dice import Dice, chance, one_of, weighted

Stroke = tuple[int, float]
"""Length in mm and `corner_deg` of the wall's right-hand end."""

HARD_CORNERS = (60.0, 75.0, 120.0, 135.0, 157.0, 178.0, 180.0, 195.0, 225.0, 270.0, 300.0)


def vertices(strokes: list[Stroke]) -> list[tuple[float, float]]:
    """Left-hand corners of all walls, then where the last wall ends. The first wall runs east, the room lies to its south."""
    x = y = heading = 0.0
    points = [(x, y)]
    for length, corner in strokes:
        x += length * math.cos(math.radians(heading))
        y += length * math.sin(math.radians(heading))
        points.append((x, y))
        heading -= 180.0 - corner
    return points


def _split(dice: Dice, length: int, middle: float, least: int = 150) -> tuple[int, int] | None:
    """What remains left and right of a dressing `middle` wide; None where the side is too short for it."""
    rest = round(length - middle)
    if rest < 2 * least:
        return None
    left = weighted(dice, [(3, rest // 2), (1, least), (2, dice.whole(least, rest - least))])
    return left, rest - left


def _breast(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    width, projection = weighted(dice, [(3, (1200, 350)), (1, (dice.whole(900, 1500), dice.whole(150, 450))), (1, (320, 220))])
    ends = _split(dice, length, width)
    return ends and [(ends[0], 90.0), (projection, 270.0), (width, 270.0), (projection, 90.0), (ends[1], corner)]


def _spike(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    side = dice.whole(300, 800)
    ends = _split(dice, length, side, least=500)
    return ends and [(ends[0], 120.0), (side, 300.0), (side, 120.0), (ends[1], corner)]


def _recess(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    width, depth = weighted(dice, [(2, (1000, 350)), (1, (180, 180)), (1, (dice.whole(200, 1500), dice.whole(150, 700)))])
    ends = _split(dice, length, width)
    return ends and [(ends[0], 270.0), (depth, 90.0), (width, 90.0), (depth, 270.0), (ends[1], corner)]


def _canted_bay(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    splay, front = dice.whole(450, 1100), dice.whole(600, 2000)
    ends = _split(dice, length, front + 2 * splay * math.cos(math.radians(45)))
    return ends and [(ends[0], 225.0), (splay, 135.0), (front, 135.0), (splay, 225.0), (ends[1], corner)]


def _bow(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    facet = dice.whole(400, 800)
    along = sum(facet * math.cos(math.radians(46 - 23 * i)) for i in range(5))
    ends = _split(dice, length, along)
    return ends and [(ends[0], 226.0), *[(facet, 157.0)] * 4, (facet, 226.0), (ends[1], corner)]


def _notch(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    side = dice.whole(500, 1200)
    ends = _split(dice, length, side)
    return ends and [(ends[0], 240.0), (side, 60.0), (side, 240.0), (ends[1], corner)]


def _shallow(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    facet = dice.whole(500, 1500)
    ends = _split(dice, length, 2 * facet * math.cos(math.radians(15)))
    return ends and [(ends[0], 195.0), (facet, 150.0), (facet, 195.0), (ends[1], corner)]


def _bulge(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    facet = dice.whole(400, 2500)
    ends = _split(dice, length, 2 * facet * math.cos(math.radians(2)))
    return ends and [(ends[0], 178.0), (facet, 184.0), (facet, 178.0), (ends[1], corner)]


def _joint(dice: Dice, length: int, corner: float) -> list[Stroke] | None:
    ends = _split(dice, length, 0)
    return ends and [(ends[0], 180.0), (ends[1], corner)]


_INWARD = ((3, _breast), (1, _spike))
_OUTWARD = ((3, _canted_bay), (2, _recess), (2, _joint), (1, _bow), (1, _notch), (1, _shallow), (1, _bulge))


def _dressed(dice: Dice, strokes: list[Stroke], sides: tuple[int, ...], inward: bool) -> list[Stroke]:
    """Dressings on some of `sides`; at most one reaches into the room, so that two never meet."""
    out: list[Stroke] = []
    for i, (length, corner) in enumerate(strokes):
        dressing = None
        if i in sides and chance(dice, 35):
            if inward and chance(dice, 45):
                dressing, inward = weighted(dice, _INWARD)(dice, length, corner), False
            else:
                dressing = weighted(dice, _OUTWARD)(dice, length, corner)
        out += dressing or [(length, corner)]
    return out


def _side(dice: Dice) -> int:
    return weighted(dice, [(5, dice.whole(2400, 4800)), (2, dice.whole(1600, 6500)), (1, dice.whole(6500, 14000))])


def _rectangle(dice: Dice) -> list[Stroke]:
    width, depth = _side(dice), _side(dice)
    return _dressed(dice, [(width, 90.0), (depth, 90.0)] * 2, (0, 1, 2, 3), inward=min(width, depth) >= 2000)


def _corner_room(dice: Dice) -> list[Stroke]:
    """An L: the fourth corner is external. Sides beside it stay plain, so that nothing meets across it."""
    width, depth, cut_width, cut_depth = (
        dice.whole(3000, 7000),
        dice.whole(3000, 6000),
        dice.whole(400, 1800),
        dice.whole(400, 1800),
    )
    strokes = [
        (width, 90.0),
        (depth - cut_depth, 90.0),
        (cut_width, 270.0),
        (cut_depth, 90.0),
        (width - cut_width, 90.0),
        (depth, 90.0),
    ]
    return _dressed(dice, strokes, (0, 4, 5), inward=False)


def _sheared(dice: Dice) -> list[Stroke]:
    acute = one_of(dice, (60.0, 75.0, 85.0))
    width, depth = _side(dice), _side(dice)
    return _dressed(dice, [(width, acute), (depth, 180.0 - acute)] * 2, (0, 1, 2, 3), inward=False)


def _triangle(dice: Dice) -> list[Stroke]:
    side = dice.whole(2000, 5000)
    return _dressed(dice, [(side, 60.0)] * 3, (0, 1, 2), inward=False)


def _hexagon(dice: Dice) -> list[Stroke]:
    sides = [dice.whole(800, 3500) for _ in range(3)]
    return _dressed(dice, [(side, 120.0) for side in sides * 2], (0, 1, 2, 3, 4, 5), inward=False)


def closed_outline(dice: Dice) -> list[Stroke]:
    shape = weighted(dice, [(8, _rectangle), (3, _corner_room), (1, _sheared), (1, _triangle), (1, _hexagon)])
    return shape(dice)


def _wall_length(dice: Dice) -> int:
    return weighted(dice, [(6, dice.whole(1200, 5000)), (2, dice.whole(150, 1200)), (1, dice.whole(5000, 14000))])


def open_outline(dice: Dice) -> list[Stroke]:
    """One wall, a run with any corners, or part of a closed outline."""
    kind = weighted(dice, [(4, "one"), (4, "run"), (2, "part")])
    if kind == "one":
        return [(_wall_length(dice), 90.0)]
    if kind == "run":
        corners = [weighted(dice, [(3, 90.0), (2, 270.0), (4, one_of(dice, HARD_CORNERS))]) for _ in range(dice.whole(2, 5))]
        return [(_wall_length(dice), corner) for corner in corners]
    outline = closed_outline(dice)
    first = dice.whole(0, len(outline) - 2)
    return outline[first : dice.whole(first + 1, len(outline))]


def mismeasured(dice: Dice, strokes: list[Stroke]) -> list[Stroke]:
    """A loop that was meant to close and does not: one length or one corner is wrong."""
    i = dice.whole(0, len(strokes) - 1)
    length, corner = strokes[i]
    if chance(dice, 50):
        return [*strokes[:i], (length, corner + one_of(dice, (4.0, -4.0, 7.0))), *strokes[i + 1 :]]
    return [*strokes[:i], (length + dice.whole(400, 900), corner), *strokes[i + 1 :]]
