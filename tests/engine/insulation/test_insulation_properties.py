"""Insulation covers the masonry once, corners included, at every angle. Referees: shapely, and a second reading of the ends."""

import math

import pytest
from hypothesis import given
from insulation.walls_by_hand import STOCK, framed, wall
from properties.reading import Run, neighbours, runs_of
from rooms.surveys import Case, cases
from shapely import unary_union
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon, box

from service.engine.framing.frame import set_out_frame
from service.engine.insulation.insulate import insulate
from service.engine.parameters import Parameters
from service.engine.results import FlatPiece
from service.vocabulary import ROLE_COMPONENTS, EndKind

ROLLS = ((1200, 8000), (600, 9000), (450, 1100))
FAR = 10_000.0
LONG = 3000.0
INSIDE = (30.0, 45.0, 60.0, 75.0, 90.0, 100.0, 120.0, 135.0, 150.0, 157.0, 170.0)
OUTSIDE = (190.0, 195.0, 225.0, 250.0, 270.0, 285.0, 300.0, 330.0)


def _in_plan(shape: list[tuple[float, float]], corner: float) -> Polygon:
    """A shape along the right-hand wall (u along it, v into the room) set beside a left-hand wall that ends at the origin, its
    masonry along y = 0 and the room above."""
    theta = math.radians(corner)
    sin, cos = math.sin(theta), math.cos(theta)
    return affine_transform(Polygon(shape), [-cos, -sin, sin, -cos, 0, 0])


def _corner_insulated(corner: float, i: float) -> tuple[list[Polygon], list[Polygon], float]:
    """In plan: the left-hand wall's pieces less their splays, the right-hand wall's, and what the left-hand splays leave over."""
    left, right = framed(wall(LONG, corner_deg=corner), wall(LONG))
    p = Parameters()
    mine, other, left_over = [], [], 0.0
    for piece in insulate(left, p, 1200, 8000)[0]:
        a, b = piece.x_mm - LONG, piece.x_mm - LONG + piece.width_mm
        mine.append(Polygon([(a, 0), (b, 0), (b - piece.bevel_right_mm, i), (a, i)]))
        left_over += piece.bevel_right_mm * i / 2
    for piece in insulate(right, p, 1200, 8000)[0]:
        a, b = piece.x_mm, piece.x_mm + piece.width_mm
        other.append(_in_plan([(a, 0), (b, 0), (b, i), (a + piece.bevel_left_mm, i)], corner))
    return mine, other, left_over


@pytest.mark.parametrize("corner", INSIDE)
def test_inside_corners_of_every_angle_are_filled_once(corner: float) -> None:
    """What lies within 80 of either wall, in the room. Below 90 one wedge stays open: it is what the splay leaves over."""
    i = 80.0
    mine, other, left_over = _corner_insulated(corner, i)
    theta = math.radians(corner)
    room = Polygon(
        [
            (0, 0),
            (-FAR, 0),
            (-FAR * math.cos(theta) - FAR, FAR * math.sin(theta)),
            (-FAR * math.cos(theta), FAR * math.sin(theta)),
        ]
    )
    zone = unary_union([box(-LONG, 0, FAR, i), _in_plan([(-FAR, 0), (LONG, 0), (LONG, i), (-FAR, i)], corner)]).intersection(room)
    covered = unary_union([*mine, *other])
    everything = sum(shape.area for shape in (*mine, *other))
    assert everything - covered.area == pytest.approx(0, abs=10)
    assert covered.difference(zone.buffer(0.1)).area == pytest.approx(0, abs=1)
    wedge = left_over if corner < 90 else 0.0
    assert zone.area - covered.area == pytest.approx(wedge, abs=20)


@pytest.mark.parametrize("corner", OUTSIDE)
def test_outside_corners_take_exactly_what_fills_their_point(corner: float) -> None:
    """The zone round the corner is the masonry line offset by 80 with its point kept; square pieces fill it by swaps."""
    i = 80.0
    mine, other, _ = _corner_insulated(corner, i)
    theta = math.radians(corner)
    masonry = LineString([(-LONG, 0), (0, 0), (-LONG * math.cos(theta), LONG * math.sin(theta))])
    zone = masonry.buffer(i, single_sided=True, join_style="mitre", mitre_limit=20)
    assert sum(shape.area for shape in (*mine, *other)) == pytest.approx(zone.area, abs=20)
    if corner == 270:
        assert unary_union([*mine, *other]).symmetric_difference(zone).area == pytest.approx(0, abs=20)


def _ends(run: Run, case: Case, laid_out: set[int]) -> tuple[float, float]:
    """I1 read a second time, in the reading's x; where the frame ends under a low ceiling or at a stop end, there."""
    walls, i = case.room.walls, case.parameters.insulation_thickness_mm
    sides = []
    for right in (False, True):
        part = run.parts[-1 if right else 0]
        kind = part.layout.frame.right if right else part.layout.frame.left
        beyond = next_wall(case, part.layout.wall - 1, run, right)
        corner = walls[beyond[0]].corner_deg if right else (walls[beyond[1]].corner_deg if beyond[1] is not None else 90.0)
        half = math.radians(corner / 2)
        covered = beyond[1] is not None and beyond[1] + 1 in laid_out
        if kind in (EndKind.LOW_CEILING, EndKind.STOP_END):
            sides.append(run.board_ends[right])
        elif right and corner > 180 and kind in (EndKind.EXTERNAL_CORNER, EndKind.STEP) and covered:
            sides.append(run.masonry[1] - i / math.tan(half))
        elif not right and corner <= 90 and kind is EndKind.INTERNAL_CORNER and covered:
            sides.append(run.masonry[0] + i / math.tan(half))
        else:
            sides.append(run.masonry[right])
    return sides[0], sides[1]


def next_wall(case: Case, index: int, run: Run, right: bool) -> tuple[int, int | None]:
    """The last masonry wall of the run on that side, hidden ones included, and the wall beyond it."""
    hidden = run.masonry[1] - run.parts[-1].at - run.parts[-1].wall.length_mm if right else -run.masonry[0]
    while hidden > 0.5:
        index = neighbours(case.room, index)[right]  # type: ignore[assignment]
        hidden -= case.room.walls[index].length_mm
    return index, neighbours(case.room, index)[right]


def _face(run: Run, a: float, b: float) -> list[tuple[float, float, float]]:
    """x, floor, ceiling from a to b, at both sides of each joint between walls."""
    joints = [x for part in run.parts[1:] for x in (part.at - 1e-4, part.at) if a < x < b]
    return [(x, run.floor(x), run.ceiling(x)) for x in (a, *joints, b)]


def _polygon(run: Run, a: float, b: float, over: float = 0.0) -> Polygon:
    line = _face(run, a, b)
    return Polygon([(x, y) for x, y, _ in line] + [(x, max(y, top) + over) for x, y, top in reversed(line)])


@given(cases())
def test_every_wall_is_covered_once_less_its_openings(case: Case) -> None:
    p = case.parameters
    frame = set_out_frame(case.rooms, p, ROLE_COMPONENTS, STOCK)
    laid_out = {layout.wall for layout in frame.framing.layouts}
    for width, length in ROLLS:
        pieces = [piece for lined in frame.lined for piece in insulate(lined, p, width, length)[0]]
        assert p.insulation_thickness_mm > 0 or pieces == []
        assert all(piece.width_mm <= width and piece.length_mm <= length + 0.1 for piece in pieces)
        assert {piece.wall for piece in pieces} <= laid_out
        assert [piece.id for piece in pieces] == list(dict.fromkeys(piece.id for piece in pieces))
        if p.insulation_thickness_mm > 0:
            for run in runs_of(case, frame.framing):
                _covers_once(run, case, [q for q in pieces if any(part.layout.wall == q.wall for part in run.parts)], laid_out)


def _covers_once(run: Run, case: Case, pieces: list[FlatPiece], laid_out: set[int]) -> None:
    p = case.parameters
    x0, x1 = _ends(run, case, laid_out)
    at = {part.layout.wall: part.at for part in run.parts}
    wanted = _polygon(run, x0, x1).buffer(0)
    for o in run.holes:
        reach_down = o.sill - min(run.floor(o.left + 0.01), run.floor(o.right - 0.01)) <= 50
        reach_up = max(run.ceiling(o.left + 0.01), run.ceiling(o.right - 0.01)) - o.head <= 50
        low, high = (-FAR if reach_down else o.sill), (2 * FAR if reach_up else o.head)
        wanted = wanted.difference(box(o.left, low, o.right, high))
    # The reading knows no heights over a wall that is hidden behind a neighbour's lining: no farther than that.
    begin, finish = run.parts[0].at, run.parts[-1].at + run.parts[-1].wall.length_mm
    seen = box(begin if run.masonry[0] < begin else -FAR, -FAR, finish if run.masonry[1] > finish else 4 * FAR, 2 * FAR)
    wanted = wanted.intersection(seen)
    placed = []
    for piece in pieces:
        x = at[piece.wall] + piece.x_mm
        rectangle = box(x, piece.y_mm, x + piece.width_mm, piece.y_mm + piece.length_mm)
        face = _polygon(run, x, x + piece.width_mm, p.insulation_oversize_mm).buffer(0)
        placed.append(rectangle.intersection(face).intersection(seen))
    together = unary_union(placed)
    slack = 300.0 * (len(pieces) + 1)  # widths are rounded to 0.1 and strips narrower than that left out
    assert wanted.difference(together).area <= slack, f"{run.name}: not all is covered"
    assert sum(shape.area for shape in placed) - together.area <= slack, f"{run.name}: covered twice"
    oversize = sum(piece.width_mm for piece in pieces) * p.insulation_oversize_mm
    assert together.difference(wanted).area <= oversize + slack, f"{run.name}: more than the oversize stands over"


@given(cases())
def test_edges_and_area_follow_floor_and_ceiling(case: Case) -> None:
    """Single walls, strips of one piece: the edges are the heights there and the area is the trapezium between them."""
    p = case.parameters
    frame = set_out_frame(case.rooms, p, ROLE_COMPONENTS, STOCK)
    pieces = [piece for lined in frame.lined for piece in insulate(lined, p, 1200, 20_000)[0]]
    for run in runs_of(case, frame.framing):
        if len(run.parts) == 1 and run.masonry == (0, run.parts[0].wall.length_mm):
            for piece in (q for q in pieces if q.wall == run.parts[0].layout.wall):
                tall = piece.height_left_mm - piece.foot_left_mm + piece.height_right_mm - piece.foot_right_mm
                assert piece.area_mm2 == pytest.approx(piece.width_mm * tall / 2, abs=2 * piece.width_mm + 0.2 * piece.length_mm)
                assert min(piece.foot_left_mm, piece.foot_right_mm) == 0
                assert max(piece.height_left_mm, piece.height_right_mm) == pytest.approx(piece.length_mm, abs=0.11)
                for x, foot in ((piece.x_mm, piece.foot_left_mm), (piece.x_mm + piece.width_mm, piece.foot_right_mm)):
                    on_floor = abs(piece.y_mm + foot - run.floor(x)) < 0.2
                    assert on_floor or any(abs(piece.y_mm + foot - o.head) < 0.2 for o in run.holes)
