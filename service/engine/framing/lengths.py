"""Cutting a run of channel or rail into pieces that stock allows: rule C4."""

from service.engine.units import EPSILON


def split_run(length_mm: float, longest_mm: int | None, least_piece_mm: float) -> list[float]:
    """Full stock lengths and a remainder; a remainder under the least piece is made up from the last full one.

    Args:
        length_mm: the run; longest_mm: the longest stock, None when there is none; least_piece_mm: run_min_piece.
    Returns: lengths from left to right, their sum the run.
    """
    if longest_mm is None or length_mm <= longest_mm + EPSILON:
        return [length_mm]
    full = int((length_mm + EPSILON) // longest_mm)
    rest = length_mm - full * longest_mm
    pieces = [float(longest_mm)] * full
    if rest <= EPSILON:
        return pieces
    if rest < least_piece_mm:
        least = min(least_piece_mm, (longest_mm + rest) / 2)
        pieces[-1] = longest_mm + rest - least
        rest = least
    return [*pieces, rest]
