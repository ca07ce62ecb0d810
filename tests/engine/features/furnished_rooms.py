"""Random rooms with features where they are awkward: on studs, edges, openings, each other; invented like the rooms."""

import random
from dataclasses import replace

from hypothesis import strategies as st
from rooms.dice import Dice, DrawnDice, SeededDice, chance, one_of, weighted
from rooms.surveys import Case, case_thrown

from service.engine.inputs import Feature, Room, Wall
from service.engine.parameters import Parameters
from service.vocabulary import FeatureKind

KINDS = tuple(FeatureKind)
HANGING = (FeatureKind.RADIATOR, FeatureKind.HEAVY_ITEM)
MOST = 6


def _x(dice: Dice, wall: Wall, before: list[Feature]) -> float:
    length = int(wall.length_mm)
    anywhere = dice.whole(0, length)
    at_edge = one_of(dice, tuple(edge for o in wall.openings for edge in (o.left_mm, o.right_mm)) or (anywhere,))
    beside = one_of(dice, tuple(f.x_mm for f in before) or (anywhere,))
    return weighted(
        dice,
        [
            (5, anywhere),
            (1, min(length, one_of(dice, (0, 20, 120, 160)))),
            (1, max(0, length - one_of(dice, (0, 20, 120, 160)))),
            (2, max(0, at_edge + dice.whole(-400, 400))),
            (2, max(0, beside + dice.whole(-150, 150))),
            (1, 600 * dice.whole(0, 5)),
            (1, length + dice.whole(1, 300)),
        ],
    )


def _y(dice: Dice, wall: Wall, x: float, before: list[Feature]) -> float:
    floor, ceiling = int(wall.floor_at(x)), int(wall.ceiling_at(x))
    beside = one_of(dice, tuple(f.y_mm for f in before) or (floor + 450,))
    edge = one_of(dice, tuple(edge for o in wall.openings for edge in (o.sill_mm, o.head_mm)) or (floor + 1150,))
    return weighted(
        dice,
        [
            (4, floor + one_of(dice, (450, 1150, 300, 1500))),
            (3, dice.whole(min(floor, ceiling), max(floor, ceiling))),
            (2, edge + dice.whole(-150, 150)),
            (2, beside + dice.whole(-60, 60)),
            (1, ceiling - one_of(dice, (20, 60, 100))),
        ],
    )


def _feature(dice: Dice, wall: Wall, before: list[Feature]) -> Feature:
    kind = one_of(dice, KINDS)
    x = _x(dice, wall, before)
    y = _y(dice, wall, x, before)
    given = chance(dice, 60)
    if kind in HANGING:
        width, height = one_of(dice, (600, 1000, 40, 1800, 400)), one_of(dice, (600, 300, 200, 190, 50))
    else:
        width, height = one_of(dice, (110, 40, 75, 225, 300)), one_of(dice, (110, 40, 75, 150))
    return Feature(
        kind=kind,
        x_mm=x,
        y_mm=y,
        width_mm=width if given else None,
        height_mm=height if given and chance(dice, 80) else None,
        mass_kg=one_of(dice, (None, 24, 5, 10, 75)) if kind in HANGING else None,
    )


def _furnished(dice: Dice, wall: Wall) -> Wall:
    features: list[Feature] = []
    for _ in range(dice.whole(0, MOST)):
        features.append(_feature(dice, wall, features))
    return replace(wall, features=tuple(features))


def _parameters(dice: Dice, p: Parameters) -> Parameters:
    if not chance(dice, 40):
        return p
    return replace(
        p,
        pipe_clearance_mm=one_of(dice, (5, 0, 10)),
        feature_stud_clearance_mm=one_of(dice, (5, 0, 20)),
        feature_edge_clearance_mm=one_of(dice, (40, 0, 100)),
        seal_overrun_mm=one_of(dice, (25, 0, 50)),
        hung_width_mm=one_of(dice, (600, 400, 1200)),
        support_inset_mm=one_of(dice, (75, 0, 100)),
    )


def furnished_case_thrown(dice: Dice) -> Case:
    case = case_thrown(dice)
    room = case.room
    walls = tuple(_furnished(dice, wall) for wall in room.walls)
    p = _parameters(dice, case.parameters)
    return replace(case, rooms=(Room(walls=walls, closed=room.closed, floor=room.floor, ceiling=room.ceiling),), parameters=p)


def random_furnished_case(rng: random.Random) -> Case:
    return furnished_case_thrown(SeededDice(rng))


@st.composite
def furnished_cases(draw: st.DrawFn) -> Case:
    return furnished_case_thrown(DrawnDice(draw))
