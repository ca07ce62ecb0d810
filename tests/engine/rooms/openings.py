"""Openings of a wall that lie within it and do not overlap, with the awkward places that real ones stand in.

Edges are whole mm. Nibs are measured from where the neighbour's finished face will stand, or from the bare masonry corner, so
that every class of nib comes up: room for two studs, for one, for a packer only, and behind the lining.
"""

import math

from rooms.dice import Dice, chance, one_of, weighted
from service.engine.inputs import Opening, Wall
from service.vocabulary import OpeningKind

LEAST_OPENING = 150


def _nib(dice: Dice, finished: int, face: int) -> int:
    """Offset of an opening's edge from the masonry corner."""
    tight = one_of(dice, (2 * face, 2 * face - 1, 60, face, face - 1, 40, 20, 5, 100))
    return weighted(
        dice,
        [(6, finished + dice.whole(2 * face, 1200)), (3, max(0, finished + tight)), (1, dice.whole(0, 100))],
    )


def _pier(dice: Dice, face: int) -> int:
    return weighted(dice, [(3, dice.whole(2 * face, 1400)), (2, one_of(dice, (200, 2 * face, 60, face, 40, face - 1, 25)))])


def _width(dice: Dice) -> int:
    return weighted(
        dice,
        [
            (4, one_of(dice, (1200, 900, 762, 838, 600, 1500))),
            (2, dice.whole(150, 450)),
            (2, dice.whole(450, 2400)),
            (1, dice.whole(2400, 4500)),
        ],
    )


def _levels(dice: Dice, floor: int, ceiling: int) -> tuple[OpeningKind, int, int] | None:
    """Kind, sill and head between a floor and a ceiling; None where nothing fits."""
    clear = ceiling - floor
    if clear < 2 * LEAST_OPENING:
        return None
    kind = weighted(
        dice,
        [
            (5, "window"),
            (4, "door"),
            (1, "opening"),
            (2, "glazing"),
            (1, "hearth"),
            (1, "high"),
            (1, "low sill"),
            (1, "under ceiling"),
        ],
    )
    if kind == "door":
        return OpeningKind.DOOR, floor, floor + min(one_of(dice, (1981, 2040, 2100)), clear)
    if kind == "opening":
        return OpeningKind.OPENING, floor, floor + dice.whole(LEAST_OPENING, clear)
    if kind == "glazing":
        return OpeningKind.WINDOW, floor + one_of(dice, (0, 30, 50)), ceiling - one_of(dice, (0, 40, 50, -20))
    if kind == "hearth":
        return OpeningKind.HEARTH, floor, floor + min(dice.whole(550, 1100), clear)
    if kind == "high":
        return (
            OpeningKind.WINDOW,
            ceiling - min(clear, dice.whole(LEAST_OPENING + 100, 800)),
            ceiling - one_of(dice, (40, 60, 90)),
        )
    if kind == "low sill":
        sill = floor + one_of(dice, (55, 60, 51, 100, 200))
        return OpeningKind.WINDOW, sill, max(sill + LEAST_OPENING, min(ceiling, sill + 1800))
    sill = floor + min(one_of(dice, (900, 1050, 600, 350)), clear - LEAST_OPENING)
    if kind == "under ceiling":
        return OpeningKind.WINDOW, sill, max(sill + LEAST_OPENING, ceiling - one_of(dice, (40, 51, 60, 70, 100)))
    return OpeningKind.WINDOW, sill, sill + min(dice.whole(600, 1500), ceiling - sill)


def openings_of(dice: Dice, wall: Wall, finished_left: float, finished_right: float, face: int) -> tuple[Opening, ...]:
    """`finished_left`, `finished_right`: how far each neighbour's finished face stands in from the masonry corner."""
    wanted = weighted(dice, [(4, 0), (5, 1), (3, 2), (2, 3), (1, 5)])
    found: list[Opening] = []
    left = _nib(dice, math.ceil(finished_left), face)
    for n in range(wanted):
        right_nib = _nib(dice, math.ceil(finished_right), face) if n == wanted - 1 and chance(dice, 35) else None
        width = _width(dice) if right_nib is None else int(wall.length_mm) - right_nib - left
        if width < LEAST_OPENING or width > 6000 or left + width > wall.length_mm:
            break
        found += _column(dice, wall, left, width)
        left += width + _pier(dice, face)
    return tuple(found)


def _column(dice: Dice, wall: Wall, left: int, width: int) -> list[Opening]:
    """An opening, and now and then another above it."""
    floor = math.ceil(max(wall.floor_at(left), wall.floor_at(left + width)))
    ceiling = math.floor(min(wall.ceiling_at(left), wall.ceiling_at(left + width)))
    levels = _levels(dice, floor, ceiling)
    if width > 2400 and ceiling - floor > 1500 and chance(dice, 25):  # wide, and next to nothing between its head and the ceiling
        levels = OpeningKind.WINDOW, floor + one_of(dice, (900, 55)), ceiling - one_of(dice, (55, 51))
    if levels is None or levels[2] - levels[1] < 100:
        return []
    column = [_opening(dice, levels, left, width)]
    head = levels[2]
    if chance(dice, 15):
        sill = head + one_of(dice, (300, 400, 150, 100, 60, 40))
        if ceiling - sill >= LEAST_OPENING:
            above = (OpeningKind.WINDOW, sill, sill + dice.whole(100, ceiling - sill))
            inset = weighted(dice, [(4, 0), (1, min(200, width // 4))])
            column.append(_opening(dice, above, left + inset, width - 2 * inset))
    return column


def _opening(dice: Dice, levels: tuple[OpeningKind, int, int], left: int, width: int) -> Opening:
    kind, sill, head = levels
    return Opening(
        kind=kind,
        offset_mm=left,
        width_mm=width,
        sill_mm=sill,
        height_mm=head - sill,
        reveal_depth_mm=one_of(dice, (150, 0, 100, 250)),
        board_sill=kind is OpeningKind.WINDOW and chance(dice, 50),
        frame_margin_mm=one_of(dice, (None, 20, 40)),
    )
