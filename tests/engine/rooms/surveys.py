"""Whole cases: a room (or several), parameters of its lining, the stock it is cut from.

`random_room(rng)` and `random_case(rng)` throw with a seeded generator, `cases()` and `room_from(draw)` with hypothesis; both
build in the same way. Geometry is valid by construction; `faulty_surveys()` makes surveys that must be refused, each with the
code and the place of its fault.
"""

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from hypothesis import strategies as st

from rooms.dice import Dice, DrawnDice, SeededDice, chance, one_of, weighted
from rooms.heights import ends_of_walls
from rooms.openings import openings_of
from rooms.outlines import Stroke, closed_outline, mismeasured, open_outline, vertices
from service.engine.inputs import Feature, Opening, Room, Wall
from service.engine.parameters import Parameters
from service.engine.units import cot
from service.finding_codes import FindingCode
from service.vocabulary import Construction, FeatureKind, OpeningKind, Substrate

USUAL_STUDS = (2400, 2700, 3000, 3600)
USUAL_CHANNELS = (3000,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    rooms: tuple[Room, ...]
    parameters: Parameters
    stud_stock_mm: tuple[int, ...] = USUAL_STUDS
    channel_stock_mm: tuple[int, ...] = USUAL_CHANNELS
    kerf_mm: int = 0

    @property
    def room(self) -> Room:
        (room,) = self.rooms
        return room


def parameters_from(dice: Dice) -> Parameters:
    """The defaults half of the time; else values within their ranges that go together."""
    if chance(dice, 50) is False:
        return Parameters()
    stud_depth, rail_depth = one_of(dice, (20, 25, 50)), one_of(dice, (20, 15, 30))
    insulation, reach_min, reach_max = one_of(dice, (80, 50, 0, 100)), one_of(dice, (30, 20)), one_of(dice, (150, 200, 120))
    least, most = stud_depth + max(insulation, rail_depth + reach_min), stud_depth + rail_depth + reach_max
    offset = weighted(dice, [(2, least), (2, dice.whole(least, most)), (1, most), (1, min(most, least + 0.5))])
    return Parameters(
        frame_offset_mm=offset,
        stud_centres_mm=one_of(dice, (600, 400, 300)),
        centres_tolerance_mm=one_of(dice, (25, 0, 50)),
        stud_face_mm=one_of(dice, (48, 38, 60)),
        stud_depth_mm=stud_depth,
        stud_clearance_mm=one_of(dice, (10, 5, 0, 20)),
        rail_height_mm=weighted(dice, [(2, 1300), (1, dice.whole(800, 1500))]),
        rail_depth_mm=rail_depth,
        bracket_reach_min_mm=reach_min,
        bracket_reach_max_mm=reach_max,
        max_stud_span_mm=weighted(dice, [(3, 1500), (1, dice.whole(1000, 2400))]),
        short_stud_bracket_over_mm=one_of(dice, (300, 450, 0)),
        opening_rail_gap_mm=one_of(dice, (200, 150, 300)),
        trim_return_mm=one_of(dice, (150, 100, 0, 200)),
        channel_fixing_spacing_mm=one_of(dice, (600, 450, 400)),
        insulation_thickness_mm=insulation,
        board_thickness_mm=one_of(dice, (12.5, 15, 9.5)),
        board_layers=one_of(dice, (1, 2)),
        frame_screws_per_stud_end=one_of(dice, (1, 2, 0)),
        run_min_piece_mm=one_of(dice, (300, 0, 500)),
        splice_overlap_mm=one_of(dice, (600, 400)),
    )


def _finished(own: float, neighbour: Wall | None, neighbour_offset: float, corner: float) -> float:
    """About how far in from the masonry corner the neighbour's finished face stands; both offsets to the finished faces."""
    if neighbour is None or not neighbour.lined:
        return max(0.0, own * cot(corner)) if corner <= 135 else 0.0
    if corner > 175:
        return 0.0
    return max(0.0, (neighbour_offset + own * -_cosine(180 - corner)) / _cosine(corner - 90))


def _cosine(degrees: float) -> float:
    return math.cos(math.radians(degrees))


def _walls(dice: Dice, strokes: list[Stroke], closed: bool, parameters: Parameters) -> list[Wall]:
    ends = ends_of_walls(dice, vertices(strokes), [length for length, _ in strokes], closed)
    return [
        Wall(
            length_mm=length,
            height_left_mm=left,
            height_right_mm=right,
            floor_left_mm=floor_left,
            floor_right_mm=floor_right,
            lined=not chance(dice, 15),
            corner_deg=corner,
            substrate=weighted(dice, [(4, Substrate.SOLID_BRICK), (3, one_of(dice, tuple(Substrate)))]),
            **_off_the_masonry(dice, parameters),
        )
        for (length, corner), (left, right, floor_left, floor_right) in zip(strokes, ends, strict=True)
    ]


def _off_the_masonry(dice: Dice, parameters: Parameters) -> dict[str, Any]:
    """How proud the wall is and its own offset, such that a bracket reaches from its deepest point."""
    proud = weighted(dice, [(8, 0), (1, one_of(dice, (10, 30, 15)))])
    least, most = math.ceil(parameters.least_offset_mm), math.floor(parameters.greatest_offset_mm) - proud
    if parameters.frame_offset_mm + proud > parameters.greatest_offset_mm:
        proud, most = 0, most + proud
    own = weighted(dice, [(9, None), (1, dice.whole(least, max(least, most)))])
    return {"proud_mm": proud, "frame_offset_mm": own}


def _furnished(dice: Dice, walls: list[Wall], closed: bool, parameters: Parameters) -> tuple[Wall, ...]:
    thickness = parameters.lining_thickness_mm
    faces = [(w.frame_offset_mm or parameters.frame_offset_mm) + w.proud_mm + thickness for w in walls]
    out = []
    for i, wall in enumerate(walls):
        left = walls[i - 1] if i or closed else None
        right = walls[(i + 1) % len(walls)] if i + 1 < len(walls) or closed else None
        left_in = _finished(faces[i], left, faces[i - 1], walls[i - 1].corner_deg if left else 90.0)
        right_in = _finished(faces[i], right, faces[(i + 1) % len(walls)], wall.corner_deg if right else 90.0)
        openings = openings_of(dice, wall, left_in, right_in, round(parameters.stud_face_mm))
        kinds = weighted(dice, [(17, ()), (2, (FeatureKind.SOCKET,)), (1, (FeatureKind.RADIATOR, FeatureKind.PIPE))])
        middle = wall.length_mm // 2
        features = tuple(Feature(kind=kind, x_mm=middle, y_mm=450 - 300 * n) for n, kind in enumerate(kinds))
        out.append(replace(wall, openings=openings, features=features))
    return tuple(out)


def room_thrown(dice: Dice, parameters: Parameters) -> Room:
    kind = weighted(dice, [(9, "open"), (10, "closed"), (1, "not closing")])
    closed = kind != "open"
    strokes = closed_outline(dice) if closed else open_outline(dice)
    if kind == "not closing":
        strokes = mismeasured(dice, strokes)
    walls = _walls(dice, strokes, closed, parameters)
    return Room(
        walls=_furnished(dice, walls, closed, parameters),
        closed=closed,
        floor=one_of(dice, (Construction.TIMBER, Construction.CONCRETE)),
        ceiling=one_of(dice, (Construction.TIMBER, Construction.CONCRETE)),
    )


def case_thrown(dice: Dice) -> Case:
    parameters = parameters_from(dice)
    return Case(
        rooms=(room_thrown(dice, parameters),),
        parameters=parameters,
        stud_stock_mm=weighted(dice, [(3, USUAL_STUDS), (1, (3000,)), (1, (2400, 2600)), (1, (2400, 4200))]),
        channel_stock_mm=weighted(dice, [(3, USUAL_CHANNELS), (1, (2400, 3000)), (1, (3600,))]),
        kerf_mm=one_of(dice, (0, 3)),
    )


def random_room(rng: random.Random) -> Room:
    """A room lined with the default parameters."""
    return room_thrown(SeededDice(rng), Parameters())


def random_case(rng: random.Random) -> Case:
    return case_thrown(SeededDice(rng))


def room_from(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Room:
    return room_thrown(DrawnDice(draw), Parameters())


@st.composite
def rooms(draw: st.DrawFn) -> Room:
    return room_from(draw)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    return case_thrown(DrawnDice(draw))


@dataclass(frozen=True, slots=True, kw_only=True)
class Faulty:
    """A survey with one geometry fault; `wall` and `opening` are ordinals, `opening` one of those that are at fault."""

    case: Case
    code: FindingCode
    wall: int
    openings: tuple[int, ...]


def fault_thrown(dice: Dice) -> Faulty:
    """One wall of a random room is given one opening outside it, two that overlap, or an offset that no bracket reaches.

    An edge up to 50 past floor or ceiling only counts as reaching it, so those that are outside are further out.
    """
    case = case_thrown(dice)
    room = case.room
    ordinal = dice.whole(1, len(room.walls))
    wall = room.walls[ordinal - 1]
    length, height = int(wall.length_mm), int(min(wall.height_left_mm, wall.height_right_mm))
    floor = int(max(wall.floor_left_mm, wall.floor_right_mm))
    top = int(max(wall.ceiling_at(0), wall.ceiling_at(wall.length_mm)))
    low = int(min(wall.floor_left_mm, wall.floor_right_mm))
    kind = one_of(dice, ("past the right end", "past the ceiling", "under the floor", "overlap", "one in another", "offset"))
    if kind == "offset":
        p = case.parameters
        off = one_of(dice, (max(1, math.floor(p.least_offset_mm) - 20), math.floor(p.greatest_offset_mm) + 20))
        return _with_fault(case, ordinal, replace(wall, lined=True, frame_offset_mm=off), FindingCode.OFFSET_OUT_OF_REACH, ())
    fault, code = [], FindingCode.OPENING_OUTSIDE_WALL
    tall = max(100, height // 2)
    if kind == "past the right end":
        fault = [_plain(length - min(length - 1, 500), 500 + dice.whole(1, 900), floor, tall)]
    elif kind == "past the ceiling":
        fault = [_plain(0, length, floor, top - floor + dice.whole(51, 900))]
    elif kind == "under the floor":
        fault = [_plain(0, length, low - dice.whole(51, 400), tall)]
    elif height >= 300 and length >= 300:
        code = FindingCode.OPENINGS_OVERLAP
        middle = dice.whole(100, length - 100)
        if kind == "overlap":
            fault = [_plain(0, middle + 1, floor, 200), _plain(middle, length - middle, floor, 250)]
        else:
            fault = [_plain(0, length, floor, 290), _plain(middle, 50, floor + 20, 100)]
        if floor + 290 > min(wall.ceiling_at(0), wall.ceiling_at(wall.length_mm)):
            code = FindingCode.OPENING_OUTSIDE_WALL
            fault = [_plain(length - 1, 500, floor, tall)]
    else:
        fault = [_plain(length - 1, 500, floor, tall)]
    ordinals = tuple(range(1, len(fault) + 1))
    return _with_fault(case, ordinal, replace(wall, openings=tuple(fault)), code, ordinals)


def _with_fault(case: Case, ordinal: int, wall: Wall, code: FindingCode, openings: tuple[int, ...]) -> Faulty:
    walls = list(case.room.walls)
    walls[ordinal - 1] = wall
    return Faulty(case=replace(case, rooms=(replace(case.room, walls=tuple(walls)),)), code=code, wall=ordinal, openings=openings)


def _plain(offset: int, width: int, sill: int, height: int) -> Opening:
    return Opening(kind=OpeningKind.WINDOW, offset_mm=offset, width_mm=width, sill_mm=sill, height_mm=height)


@st.composite
def faulty_surveys(draw: st.DrawFn) -> Faulty:
    return fault_thrown(DrawnDice(draw))
