"""Invented jobs for measuring, from seeds: rooms and houses, realistic and adversarial, with and without offcuts on hand."""

import random

from service.engine.cutting.problem import Stock

BARS = ((2400, 412), (2700, 475), (3000, 519), (3600, 641), (4200, 763))
KERF_MM = 3
ROLL_MM = 10_050


def realistic(rng: random.Random, pieces: int, lengths: int) -> dict[int, int]:
    """Nearly half are studs in a few heights; the rest short studs and ends of runs."""
    heights = [rng.randint(2250, 2600) for _ in range(max(1, lengths // 8))]
    kinds: set[int] = set()
    while len(kinds) < lengths:
        share = rng.random()
        if share < 0.35:
            kinds.add(rng.choice(heights) - rng.choice((0, 0, 5, 10, 15, 20)))
        elif share < 0.7:
            kinds.add(rng.randint(250, 1100))
        else:
            kinds.add(rng.randint(400, 4190))
    studs = sorted(length for length in kinds if length > 2000)
    demand = dict.fromkeys(sorted(kinds), 1)
    for _ in range(pieces - lengths):
        is_stud = studs and rng.random() < 0.45
        demand[rng.choice(studs if is_stud else sorted(kinds))] += 1
    return demand


def adversarial(rng: random.Random, pieces: int, lengths: int) -> dict[int, int]:
    """All short, so that a bar can be cut in very many ways."""
    kinds = sorted(rng.sample(range(200, 1901), lengths))
    demand = dict.fromkeys(kinds, 1)
    for _ in range(pieces - lengths):
        demand[rng.choice(kinds)] += 1
    return demand


def stock(rng: random.Random, offcuts: int, by_price: bool) -> list[Stock]:
    bars = [Stock(length, price if by_price else length) for length, price in BARS]
    return bars + [Stock(rng.randint(600, 2300), 0, 1) for _ in range(offcuts)]


def rolls(rng: random.Random, offcuts: int, by_price: bool) -> list[Stock]:
    """One kind of roll, counted: cutting it by the length is cutting bars."""
    return [Stock(ROLL_MM, 1)]
