"""Random but realistic rooms for tests: one set of builders, thrown with hypothesis or with a seeded `random.Random`.

`surveys` is the front: `random_case(rng)`, `random_room(rng)`, the strategies `cases()`, `faulty_surveys()`.
"""
