"""What is to be said of boards once they are cut: strips too narrow, legs that break, boards that nothing holds, close joints."""

from collections.abc import Iterator, Sequence

from service.engine.boards.face import FaceCut
from service.engine.boards.heights import LAYERS_APART_MM, nearest
from service.engine.boards.joints import Joint
from service.engine.boards.pieces import BoardPiece
from service.engine.findings import finding
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode

LEG_UNDER_MM = 80.0
LEG_OVER_MM = 600.0
"""B3: a leg beside an opening is fragile where it is narrower than the one and longer than the other."""


def piece_faults(piece: BoardPiece, label: str, screws: Sequence[int], p: Parameters) -> list[Finding]:
    """Of one board, named `label`; `screws`: how many each stud line behind it takes."""
    found = []
    room, span = piece.stretch.run.room, piece.span
    wide = piece.x1_mm - piece.x0_mm
    if wide < p.board_min_width_mm - EPSILON:
        at = piece.x0_mm - span.start_mm
        message = f"The strip of board at x = {at:.0f} mm is {wide:.0f} mm wide, under {p.board_min_width_mm:g} mm."
        found.append(finding(FindingCode.BOARD_STRIP_NARROW, message, room, span.ordinal))
    for width, length in _legs(piece):
        message = (
            f"{label} has a leg beside an opening, {width:.0f} mm wide and {length:.0f} mm long, which breaks easily: brace it "
            "until it is fixed, or cut it off level with the opening's edge and fix it by itself."
        )
        found.append(finding(FindingCode.BOARD_LEG_NARROW, message, room, span.ordinal))
    if not screws:
        message = f"No stud stands behind {label}: back it with a strip of channel."
        found.append(finding(FindingCode.BOARD_UNBACKED, message, room, span.ordinal))
    return found


def _legs(piece: BoardPiece) -> Iterator[tuple[float, float]]:
    """Width and length of what hangs on by one end only, beside a cut-out that is open to the foot or to the top."""
    for cut in piece.cuts:
        beside = [other for other in piece.cuts if other.y0_mm < cut.y1_mm - EPSILON and other.y1_mm > cut.y0_mm + EPSILON]
        left = max([piece.x0_mm, *(other.x1_mm for other in beside if other.x1_mm <= cut.x0_mm + EPSILON)])
        yield from _leg(piece, cut, cut.x0_mm, cut.x0_mm - left)
        if not any(other.x0_mm >= cut.x1_mm - EPSILON for other in beside):
            yield from _leg(piece, cut, cut.x1_mm, piece.x1_mm - cut.x1_mm)


def _leg(piece: BoardPiece, cut: FaceCut, x: float, width: float) -> Iterator[tuple[float, float]]:
    if EPSILON < width < LEG_UNDER_MM - EPSILON:
        foot, top = piece.foot.at(x), piece.top.at(x)
        open_ended = cut.y0_mm <= foot + EPSILON or cut.y1_mm >= top - EPSILON
        length = min(cut.y1_mm, top) - max(cut.y0_mm, foot)
        if open_ended and length > LEG_OVER_MM + EPSILON:
            yield width, length


def close_joints(joints: Sequence[Joint], before: Sequence[tuple[float, float, float]], layer: int) -> list[Finding]:
    """B4: horizontal joints of a layer that could not be kept off those of the layer before (from, to, height)."""
    found = []
    for joint in joints:
        behind = [y for a, b, y in before if a < joint.x_mm + joint.length_mm - EPSILON and b > joint.x_mm + EPSILON]
        apart = nearest([joint.y_mm], behind)
        if not joint.upright and apart < LAYERS_APART_MM - EPSILON:
            span = joint.piece.span
            message = (
                f"The horizontal joint of layer {layer} at x = {joint.x_mm - span.start_mm:.0f} mm, y = {joint.y_mm:.0f} mm is "
                f"{apart:.0f} mm from one of the layer behind it; {LAYERS_APART_MM:g} mm are wanted."
            )
            found.append(finding(FindingCode.LAYER_JOINTS_CLOSE, message, joint.piece.stretch.run.room, span.ordinal))
    return found
