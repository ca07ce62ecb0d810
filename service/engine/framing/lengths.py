"""Cutting a run of channel or rail into pieces that stock allows: rule C4."""

from service.engine.units import whole_mm


def split_run(length_mm: float, longest_mm: int | None, least_piece_mm: float) -> list[int]:
    """Full stock lengths and a remainder; a remainder under the least piece is made up from the last full one.

    Args:
        length_mm: the run; longest_mm: the longest stock, None when there is none; least_piece_mm: run_min_piece.
    Returns: lengths from left to right in whole mm, their sum the run's, rounded down (Q0).
    """
    total = whole_mm(length_mm)
    if longest_mm is None or total <= longest_mm:
        return [total]
    full, rest = divmod(total, longest_mm)
    pieces = [longest_mm] * full
    if not rest:
        return pieces
    if rest < least_piece_mm:
        least = min(whole_mm(least_piece_mm), (longest_mm + rest) // 2)
        pieces[-1] = longest_mm + rest - least
        rest = least
    return [*pieces, rest]
