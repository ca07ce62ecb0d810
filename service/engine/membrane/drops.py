"""Upright drops of membrane over the frame line: rule M1, and the membrane's part of a stop end (F2).

x is measured along the membrane. It runs on past an end of the frame where the membrane turns there: one lap on to the
neighbour's frame at a right-hand corner of two linings; round the side of a stop end and one lap on to the masonry.
"""

from dataclasses import dataclass

from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.strips import Part, Strip, on_frame, parts_of, strip_of
from service.engine.parameters import Parameters
from service.engine.units import EPSILON, ceil_div
from service.vocabulary import EndKind


@dataclass(frozen=True, slots=True)
class Drop:
    """`x0_mm` to `x1_mm` along the membrane; `strip`: the frame that it covers, as high; `parts`: what it is made of."""

    x0_mm: float
    x1_mm: float
    strip: Strip
    parts: list[Part]
    returns: bool


def sheet_ends(lined: LinedStretch, p: Parameters) -> tuple[float, float]:
    """Where the membrane begins and ends, along itself; between them lies M1's F."""
    stretch, back = lined.stretch, lined.stretch.run.offset_mm + p.membrane_lap_mm
    x0, x1 = stretch.x0_mm, stretch.x1_mm
    if stretch.left is not None and stretch.left.kind is EndKind.STOP_END:
        x0 -= back
    if stretch.right is not None and stretch.right.kind is EndKind.STOP_END:
        x1 += back
    elif lined.meets_right:
        x1 += p.membrane_lap_mm
    return x0, x1


def drops_of(lined: LinedStretch, p: Parameters, roll_width: int, roll_length: int) -> list[Drop]:
    """From the left-hand end, each drop of the roll's width and one lap over the one before; the last is ripped to what remains.

    With F the length to cover, `max(1, ceil((F - lap) / (width - lap)))` drops; the last is always wider than a lap.
    """
    stretch, lap = lined.stretch, p.membrane_lap_mm
    x0, x1 = sheet_ends(lined, p)
    count = max(1, ceil_div(x1 - x0 - lap, roll_width - lap))
    drops = []
    for n in range(count):
        a = x0 + n * (roll_width - lap)
        b = x1 if n == count - 1 else a + roll_width
        strip = strip_of(stretch.run, *on_frame(stretch, a, b))
        if strip is not None:
            turned = (a < stretch.x0_mm - EPSILON, b > stretch.x1_mm + EPSILON and not lined.meets_right)
            drops.append(Drop(a, b, strip, parts_of(strip, p.membrane_oversize_mm, roll_length, lap), any(turned)))
    return drops
