"""Vapour pressure through a build-up at one moment: the tangents of the month-by-month method, drawn exactly.

Over the diffusion-equivalent thickness, vapour pressure is a straight line wherever nothing condenses or evaporates. It may not
rise over the saturation pressure of any plane, and it lies at saturation on every plane that is wet. Between planes that are wet
the pressure is therefore the greatest convex line under the saturation points: the string pulled tight below them. Where it
touches, vapour arrives faster than it leaves and condenses (ISO 13788:2012, clause 6.4).
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

AIR_PERMEABILITY = 2e-10
"""δ0, vapour permeability of still air, kg/(m·s·Pa) (ISO 13788:2012, clause 6; seen in second sources)."""
FLOW_CLAUSE = "ISO 13788:2012, 6.3 and 6.4"
TOUCH_PA = 1e-6
"""A line that passes a saturation point this closely misses it: less than any pressure is known."""


@dataclass(frozen=True, slots=True)
class VapourProfile:
    """`pressures_pa` by node, inside surface first. `rates_kg_m2s` by node: what stays there, more than zero where vapour
    condenses, less where water evaporates, 0 elsewhere and at both surfaces. `touching`: nodes that hold the line, in order."""

    pressures_pa: tuple[float, ...]
    rates_kg_m2s: tuple[float, ...]
    touching: tuple[int, ...]
    inflow_kg_m2s: float
    outflow_kg_m2s: float


def vapour_profile(
    sd_m: Sequence[float], saturation_pa: Sequence[float], wet: Collection[int], inside_pa: float, outside_pa: float
) -> VapourProfile:
    """The profile over nodes at rising `sd_m` (first and last are the surfaces, whose pressures are given), with the planes of
    `wet` at saturation. Lengths of `sd_m` and `saturation_pa` are equal, at least 2."""
    last = len(sd_m) - 1
    ceiling = [inside_pa, *saturation_pa[1:last], outside_pa]
    pins = [0, *sorted(at for at in wet if 0 < at < last), last]
    touching = [0]
    for low, high in pairwise(pins):
        touching += _string(sd_m, ceiling, low, high)[1:]
    slopes = [(ceiling[a] - ceiling[b]) / (sd_m[b] - sd_m[a]) for a, b in pairwise(touching)]
    flows = [AIR_PERMEABILITY * slope for slope in slopes]
    pressures = list(ceiling)
    for (a, b), slope in zip(pairwise(touching), slopes, strict=True):
        for at in range(a + 1, b):
            pressures[at] = ceiling[a] - slope * (sd_m[at] - sd_m[a])
    rates = [0.0] * (last + 1)
    for at, arriving, leaving in zip(touching[1:], flows, flows[1:], strict=False):
        rates[at] = arriving - leaving
    return VapourProfile(tuple(pressures), tuple(rates), tuple(touching), flows[0], flows[-1])


def _string(sd_m: Sequence[float], ceiling: Sequence[float], low: int, high: int) -> list[int]:
    """The nodes from `low` to `high` that a string pulled tight under the ceiling touches, both ends included."""
    held: list[int] = []
    for at in range(low, high + 1):
        while len(held) > 1 and _passes(sd_m, ceiling, held[-2], held[-1], at):
            held.pop()
        held.append(at)
    return held


def _passes(sd_m: Sequence[float], ceiling: Sequence[float], a: int, b: int, c: int) -> bool:
    """Whether the straight line from a to c stays under the ceiling at b, or only just touches it."""
    along = (sd_m[b] - sd_m[a]) / (sd_m[c] - sd_m[a])
    return ceiling[a] + (ceiling[c] - ceiling[a]) * along <= ceiling[b] + TOUCH_PA
