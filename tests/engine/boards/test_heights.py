"""Horizontal joints of two layers keep apart wherever any way of joining lets them: against all ways on a grid of 10 mm."""

import random
from itertools import pairwise

from service.engine.boards.heights import joint_heights, nearest

APART, LEAST, STEP = 600, 300, 10


def _any_way(low: int, high: int, longest: int, behind: list[float], most: int) -> int | None:
    """The fewest boards with which joints on the grid, or just 600 off one behind, keep 600 off all; None: not with `most`."""
    places = {float(y) for y in range(low, high, STEP)} | {y + off for y in behind for off in (-APART, APART)}
    free = sorted(y for y in places if all(abs(y - other) >= APART for other in behind))
    reached = {float(low)}
    for boards in range(1, most + 1):
        if any(LEAST <= high - y <= longest for y in reached):
            return boards
        reached = {y for y in free if any(LEAST <= y - x <= longest for x in reached)}
    return None


def test_joints_keep_off_those_behind_with_the_fewest_boards_or_cannot() -> None:
    kept = close = 0
    for seed in range(800):
        rng = random.Random(seed)
        low, longest = 10, rng.choice((1800, 2400, 3000))
        high = low + longest + 10 * rng.randint(1, 250)
        first = [joint_heights(low, high, longest, from_foot=up) for up in rng.choice(((True,), (False,), (True, False)))]
        behind = [y for joints in first for y in joints]
        joints = joint_heights(low, high, longest, from_foot=rng.random() < 0.5, clear_of=behind)
        edges = [low, *joints, high]
        assert all(LEAST <= b - a <= longest for a, b in pairwise(edges)), (seed, edges)
        fewest = _any_way(low, high, longest, behind, most=len(first[0]) + 3)
        if nearest(joints, behind) >= APART:
            kept += 1
            assert len(joints) + 1 == fewest, (seed, joints, behind)
        else:
            close += 1
            assert fewest is None, (seed, joints, behind)
    assert min(kept, close) > 20
