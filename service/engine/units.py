"""Rounding and angles, each in one place."""

import math

EPSILON = 1e-6


def whole_mm(length: float) -> int:
    """Rounded down to whole mm (rule Q0); a length that is whole but for float noise stays whole."""
    return math.floor(length + EPSILON)


def tenth(value: float) -> float:
    """Rounded to 0.1, for showing (rule Q0)."""
    return round(value + 0.0, 1) + 0.0


def cot(degrees: float) -> float:
    """Cotangent of an angle in degrees, exact at 90 and 270."""
    if degrees % 180 == 90:
        return 0.0
    return 1.0 / math.tan(math.radians(degrees))


def ceil_div(length: float, spacing: float) -> int:
    """How many steps of at most `spacing` cover `length`."""
    return max(0, math.ceil(length / spacing - EPSILON))
