"""The published bin-packing sets: each instance proved optimal, beside first fit. Run: `pytest -n 0 -s tests/quality`."""

import time
from pathlib import Path

import pytest
from referees import first_fit_decreasing

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import Stock
from service.vocabulary import CutStatus

DATA = Path(__file__).parent / "data"
IMPROVED_SINCE = {"u250_07": 103, "u250_12": 105}
SECONDS = 10.0
"""CPU time for one instance: the target of the project's cutting design."""


def _instances(file: str, scale: int) -> list[tuple[str, int, dict[int, int], int]]:
    """(name, capacity, pieces, best known), sizes times `scale` to be whole."""
    words = (DATA / file).read_text().split()
    found, at = [], 1
    for _ in range(int(words[0])):
        name, capacity, items, best = words[at], float(words[at + 1]), int(words[at + 2]), int(words[at + 3])
        sizes = [round(float(size) * scale) for size in words[at + 4 : at + 4 + items]]
        at += 4 + items
        found.append((name, round(capacity * scale), {s: sizes.count(s) for s in sizes}, IMPROVED_SINCE.get(name, best)))
    return found


@pytest.mark.parametrize(("file", "scale"), [("falkenauer_u250.txt", 1), ("falkenauer_t120.txt", 10)])
def test_every_instance_is_proved_at_its_best_known_number_of_bins(file: str, scale: int) -> None:
    instances = _instances(file, scale)
    assert len(instances) == 20
    print("\n name      lengths  first fit  plan  bound  best known  CPU s")
    over = []
    for name, capacity, pieces, best in instances:
        start = time.process_time()
        plan = plan_bars(pieces, [Stock(capacity, 1)])
        taken = time.process_time() - start
        first_fit = first_fit_decreasing(pieces, capacity)
        print(f" {name:9} {len(pieces):7d} {first_fit:10d} {plan.used:5d} {plan.lower_bound:6d} {best:11d} {taken:6.2f}")
        if (plan.used, plan.status) != (best, CutStatus.OPTIMAL) or taken > SECONDS:
            over.append(name)
    assert over == []
