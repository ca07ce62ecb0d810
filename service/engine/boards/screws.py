"""Board screws, stud line by stud line: rule B6."""

from service.engine.boards.pieces import BoardPiece
from service.engine.geometry.lined import LinedStretch
from service.engine.parameters import Parameters
from service.engine.units import EPSILON, ceil_div
from service.vocabulary import EndKind

INSIDE_MM = 1e-3
"""At its very edge a piece is what it is just inside: a cut-out that ends there leaves nothing to screw."""

LEAST_HELD_MM = 10.0
"""A screw needs this much of a stud's face behind the piece, and this much height of board."""


def screws_in(height_mm: float, spacing_mm: float, p: Parameters) -> int:
    """Screws along one stud line behind a piece of this height: at both ends and at most the spacing apart, two at least."""
    return max(2, ceil_div(max(0.0, height_mm - 2 * p.board_screw_end_mm), spacing_mm) + 1)


def piece_screws(piece: BoardPiece, lined: LinedStretch, p: Parameters) -> list[int]:
    """How many screws each stud line behind the piece takes, from left to right; at a joint each board has its own."""
    counts = []
    half, least = p.stud_face_mm / 2, LEAST_HELD_MM - EPSILON
    close = _external_lines(lined)
    for stud in lined.studs:
        if min(piece.x1_mm, stud.x_mm + half) - max(piece.x0_mm, stud.x_mm - half) >= least:
            spacing = p.board_screw_external_mm if stud.x_mm in close else p.board_screw_spacing_mm
            x = min(max(stud.x_mm, piece.x0_mm + INSIDE_MM), piece.x1_mm - INSIDE_MM)
            counts += [screws_in(high - low, spacing, p) for low, high in piece.parts_at(x) if high - low >= least]
    return counts


def _external_lines(lined: LinedStretch) -> set[float]:
    """The outermost stud line at each end that is an external angle: a lined corner or a stop end."""
    if not lined.studs:
        return set()
    ends = ((lined.stretch.left, lined.studs[0]), (lined.stretch.right, lined.studs[-1]))
    kinds = (EndKind.EXTERNAL_CORNER, EndKind.STOP_END)
    return {stud.x_mm for end, stud in ends if end is not None and end.kind in kinds}
