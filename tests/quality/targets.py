"""What the runs of one class may reach, and what they do."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Target:
    """What half of the runs, 95 % of them, and the worst may reach: (gap in bars or sheets, milliseconds)."""

    half: tuple[float, float]
    most: tuple[float, float]
    worst: tuple[float, float]

    def missed(self, gaps: Sequence[float], milliseconds: Sequence[float]) -> list[str]:
        """Prints what was reached beside the target; names the shares whose gap is larger. Times are for a quiet machine."""
        over = []
        for name, percent, (gap, ms) in (("half", 50, self.half), ("95 %", 95, self.most), ("worst", 100, self.worst)):
            reached, took = quantile(gaps, percent), quantile(milliseconds, percent)
            print(f" {name:6} gap {reached:6.3f} (target {gap:5.2f})   CPU {took:7.1f} ms (target {ms:6.0f})")
            if reached > gap:
                over.append(name)
        print(f" mean   gap {statistics.mean(gaps):6.4f}")
        return over


def quantile(values: Sequence[float], percent: int) -> float:
    """The least value that so many of a hundred do not exceed."""
    ordered = sorted(values)
    return ordered[max(0, -(-percent * len(ordered) // 100) - 1)]
