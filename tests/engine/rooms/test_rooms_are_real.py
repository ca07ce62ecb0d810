"""The random rooms themselves: outlines close, cross nowhere, and openings stand free of each other within their wall."""

import math
import random

import pytest
from shapely.geometry import Polygon

from rooms.dice import SeededDice
from rooms.outlines import closed_outline, vertices
from rooms.surveys import fault_thrown, random_case
from service.engine.geometry.faults import geometry_faults


def test_closed_outlines_close_and_do_not_cross_themselves() -> None:
    for seed in range(1000):
        strokes = closed_outline(SeededDice(random.Random(seed)))
        points = vertices(strokes)
        assert math.dist(points[0], points[-1]) < 25, strokes
        assert math.isclose(sum(180 - corner for _, corner in strokes), 360), strokes
        assert Polygon(points[:-1]).is_valid, strokes


def test_openings_lie_within_their_wall_and_apart() -> None:
    for seed in range(1000):
        for wall in random_case(random.Random(seed)).room.walls:
            for i, o in enumerate(wall.openings):
                assert 0 <= o.left_mm < o.right_mm <= wall.length_mm
                for x in (o.left_mm, o.right_mm):
                    assert wall.floor_at(x) - 1 <= o.sill_mm < o.head_mm <= wall.ceiling_at(x) + 50
                for p in wall.openings[:i]:
                    apart_x = o.left_mm >= p.right_mm or p.left_mm >= o.right_mm
                    assert apart_x or o.sill_mm >= p.head_mm or p.sill_mm >= o.head_mm


def test_no_geometry_fault_is_found_in_rooms_that_have_none() -> None:
    for seed in range(1000):
        case = random_case(random.Random(seed))
        assert geometry_faults(case.rooms, case.parameters) == (), case


@pytest.mark.parametrize("seed", range(0, 300, 100))
def test_faulty_surveys_differ_from_sound_ones_in_one_wall(seed: int) -> None:
    for n in range(seed, seed + 100):
        faulty, sound = fault_thrown(SeededDice(random.Random(n))), random_case(random.Random(n))
        differing = [i for i, (a, b) in enumerate(zip(faulty.case.room.walls, sound.room.walls, strict=True), 1) if a != b]
        assert differing == [faulty.wall]
