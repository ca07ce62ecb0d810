"""Whole schemes, with and without offcuts on hand: gaps against their targets, CPU time, memory, each in its own process."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

HERE = Path(__file__).parent
MOST_MB = 600
HALF_REALISTIC = 0.02


@dataclass(frozen=True)
class Measured:
    """One scheme: gap in bars of the cheapest kind, by how much first fit costs more, CPU seconds, the most memory held."""

    gap: float
    status: str
    first_fit: float
    seconds: float
    megabytes: float


def measure_scheme(kind: str, pieces: int, lengths: int, offcuts: int, seed: int) -> Measured:
    """Plans one invented scheme in another process."""
    run = subprocess.run(
        [sys.executable, str(HERE / "one_scheme.py"), kind, *map(str, (pieces, lengths, offcuts, seed))],
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(HERE.parents[1]), str(HERE)])},
        capture_output=True,
        text=True,
        check=True,
    )
    return Measured(**json.loads(run.stdout))


SCHEMES = [
    # kind, pieces, lengths, offcuts, most bars of gap, seconds printed beside what was taken
    pytest.param("realistic", 3_000, 150, 0, 0.2, 10, id="small, realistic"),
    pytest.param("realistic", 5_000, 200, 40, 0.2, 10, id="small, realistic, offcuts"),
    pytest.param("adversarial", 3_000, 150, 0, 0.2, 20, id="small, adversarial"),
    pytest.param("adversarial", 5_000, 200, 40, 0.2, 20, id="small, adversarial, offcuts"),
    pytest.param("realistic", 50_000, 800, 0, 0.2, 10, id="large, realistic"),
    pytest.param("realistic", 50_000, 800, 200, 0.2, 10, id="large, realistic, offcuts"),
    pytest.param("adversarial", 50_000, 800, 0, 0.25, 60, id="large, adversarial"),
    pytest.param("adversarial", 50_000, 800, 200, 0.25, 60, id="large, adversarial, offcuts"),
]


@pytest.mark.parametrize(("kind", "pieces", "lengths", "offcuts", "most_gap", "seconds"), SCHEMES)
def test_a_scheme_stays_within_its_target(
    kind: str, pieces: int, lengths: int, offcuts: int, most_gap: float, seconds: float
) -> None:
    over, gaps = [], []
    for seed in range(2):
        m = measure_scheme(kind, pieces, lengths, offcuts, seed)
        print(
            f"\n {m.status:8} gap {m.gap:6.3f} (target {most_gap:5.2f})   first fit {m.first_fit:+.1%}"
            f"   CPU {m.seconds:5.1f} s (target {seconds:.0f})   {m.megabytes:.0f} MB (target {MOST_MB})",
            end="",
        )
        gaps.append(m.gap)
        if m.gap > most_gap or m.megabytes > MOST_MB:
            over.append(seed)
    assert over == []
    if kind == "realistic":
        assert min(gaps) <= HALF_REALISTIC, "half of the realistic ones"
