"""Invented flat jobs for measuring, from seeds, in tenths of a millimetre: boards of rooms and houses."""

import random

from service.engine.cutting.sheet_problem import Rectangle, SheetStock

BOARDS = (SheetStock(12000, 24000, 912), SheetStock(12000, 27000, 1041), SheetStock(12000, 30000, 1149))
LAMINATE = (SheetStock(12000, 24000, 1),)
INSULATION = (SheetStock(12000, 80000, 1),)
MEMBRANE = (SheetStock(15000, 500000, 1),)

Pieces = dict[Rectangle, int]


def realistic(rng: random.Random, pieces: int, kinds: int) -> Pieces:
    """Walls of full boards in a few heights, one ripped board at a wall's end, and strips above and below openings."""
    heights = [rng.randrange(22500, 27000, 10) for _ in range(max(1, kinds // 8))]
    sizes: dict[Rectangle, float] = {}
    while len(sizes) < kinds:
        height = rng.choice(heights) - rng.choice((0, 0, 50, 100, 150))
        share = rng.random()
        if share < 0.3:
            sizes[12000, height] = 8.0
        elif share < 0.7:
            sizes[rng.randrange(800, 11900, 10), height] = 1.0
        else:
            sizes[rng.randrange(6000, 12000, 10), rng.randrange(2000, 11000, 10)] = 1.5
    names = sorted(sizes)
    demand = dict.fromkeys(names, 1)
    for size in rng.choices(names, [sizes[size] for size in names], k=pieces - kinds):
        demand[size] += 1
    return demand


def adversarial(rng: random.Random, pieces: int, kinds: int) -> Pieces:
    """Any size from a twelfth to the whole of a board, so that few cuts line up."""
    sizes: set[Rectangle] = set()
    while len(sizes) < kinds:
        sizes.add((rng.randrange(2000, 12000, 10), rng.randrange(2000, 24000, 10)))
    names = sorted(sizes)
    demand = dict.fromkeys(names, 1)
    for _ in range(pieces - kinds):
        demand[rng.choice(names)] += 1
    return demand


def reveals(rng: random.Random, openings: int) -> Pieces:
    """Two sides and a head for each opening, of a few depths."""
    demand: Pieces = {}
    depth = rng.randrange(900, 2500, 10)
    for _ in range(openings):
        width, height = rng.randrange(6000, 18000, 10), rng.randrange(9000, 21000, 10)
        for size, n in (((depth, height), 2), ((depth, width), 1)):
            demand[size] = demand.get(size, 0) + n
    return demand


def bays(rng: random.Random, strips: int) -> Pieces:
    """Insulation between studs: most as wide as a half roll, some narrower, a few short ones above and below openings."""
    height = rng.randrange(22500, 27000, 10)
    demand: Pieces = {}
    for _ in range(strips):
        width = rng.choice((6000, 6000, 6000, rng.randrange(1500, 6000, 10)))
        length = rng.choice((height, height, height, rng.randrange(3000, 12000, 10)))
        demand[width, length] = demand.get((width, length), 0) + 1
    return demand


def drops(rng: random.Random, walls: int) -> Pieces:
    """Membrane from ceiling to floor, full width, and a narrower one at the end of each wall."""
    demand: Pieces = {}
    for _ in range(walls):
        height = rng.randrange(22500, 27000, 10) + 2000
        demand[15000, height] = demand.get((15000, height), 0) + rng.randint(1, 3)
        rest = (rng.randrange(3000, 15000, 10), height)
        demand[rest] = demand.get(rest, 0) + 1
    return demand
