"""Hangs the membrane over a stretch, takes it into the reveals and seals it: rules M1 to M4."""

from service.engine.findings import finding
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.strips import Part
from service.engine.membrane.drops import Drop, drops_of
from service.engine.membrane.reveal_strips import RevealStrip, opening_edges, reveal_strips
from service.engine.membrane.seals import Hung, seals
from service.engine.parameters import Parameters
from service.engine.results import Finding, FlatPiece, Usage
from service.engine.units import EPSILON, tenth
from service.finding_codes import FindingCode
from service.vocabulary import Component, PieceRole


def drape(
    lined: LinedStretch, p: Parameters, roll_width_mm: int, roll_length_mm: int
) -> tuple[list[FlatPiece], list[Usage], list[Finding]]:
    """The membrane of one stretch, and its tapes and sealant.

    Args: the roll's width and length. Returns: drops and strips in their walls' own x, named wall by wall from left to right and
    upwards, each as wide as it takes across the roll and as long as it takes along it; tapes and sealant in metres, one usage a
    wall and kind; a finding where the roll is no wider than a lap, so that nothing can be hung.
    Source: setting-out rules M1 to M4, F2, Q0.
    """
    if roll_width_mm <= p.membrane_lap_mm:
        return [], [], [_too_narrow(lined, p, roll_width_mm)]
    numbers: dict[tuple[int, PieceRole], int] = {}
    hung = []
    for drop in drops_of(lined, p, roll_width_mm, roll_length_mm):
        pieces = [_drop_piece(lined, drop, part, numbers) for part in drop.parts]
        hung.append(Hung(drop, pieces, [piece.id for piece in pieces]))
    edges = opening_edges(lined)
    strips = [_strip_piece(lined, strip, numbers) for strip in reveal_strips(lined, edges, p)]
    return [piece for h in hung for piece in h.pieces] + strips, seals(lined, hung, strips, edges, p), []


def _name(lined: LinedStretch, wall: int, role: PieceRole, numbers: dict[tuple[int, PieceRole], int]) -> str:
    numbers[wall, role] = numbers.get((wall, role), 0) + 1
    return f"{lined.room}/{wall}/{role.value}-{numbers[wall, role]:02d}"


def _drop_piece(lined: LinedStretch, drop: Drop, part: Part, numbers: dict[tuple[int, PieceRole], int]) -> FlatPiece:
    span, strip = lined.stretch.span_at(drop.x0_mm), drop.strip
    left = (strip.x0_mm - drop.x0_mm) * (part.top_left_mm - part.foot_left_mm)
    right = (drop.x1_mm - strip.x1_mm) * (part.top_right_mm - part.foot_right_mm)
    return FlatPiece(
        id=_name(lined, span.ordinal, PieceRole.MEMBRANE_DROP, numbers),
        component=Component.VCL_MEMBRANE,
        role=PieceRole.MEMBRANE_DROP,
        room=lined.room,
        wall=span.ordinal,
        x_mm=drop.x0_mm - span.start_mm,
        y_mm=strip.y_mm + part.y_mm,
        width_mm=tenth(drop.x1_mm - drop.x0_mm),
        length_mm=tenth(part.length_mm),
        rules=("F2", "M1") if drop.returns else ("M1",),
        height_left_mm=tenth(part.top_left_mm),
        height_right_mm=tenth(part.top_right_mm),
        foot_left_mm=tenth(part.foot_left_mm),
        foot_right_mm=tenth(part.foot_right_mm),
        area_mm2=part.area_mm2 + left + right,
    )


def _strip_piece(lined: LinedStretch, strip: RevealStrip, numbers: dict[tuple[int, PieceRole], int]) -> FlatPiece:
    o, length = strip.placed, tenth(strip.length_mm)
    span = next(span for span in lined.stretch.run.spans if span.ordinal == o.wall)
    return FlatPiece(
        id=_name(lined, o.wall, PieceRole.MEMBRANE_STRIP, numbers),
        component=Component.VCL_MEMBRANE,
        role=PieceRole.MEMBRANE_STRIP,
        room=lined.room,
        wall=o.wall,
        x_mm=strip.x_mm - span.start_mm,
        y_mm=strip.y_mm,
        width_mm=tenth(strip.depth_mm),
        length_mm=length,
        rules=("M2",),
        height_left_mm=length,
        height_right_mm=length,
        area_mm2=strip.depth_mm * strip.length_mm,
        opening=o.ordinal,
    )


def _too_narrow(lined: LinedStretch, p: Parameters, roll_width_mm: int) -> Finding:
    wall = lined.stretch.span_at(lined.stretch.x0_mm + EPSILON).ordinal
    message = (
        f"The membrane's roll is {roll_width_mm} mm wide and a lap takes {p.membrane_lap_mm:g} mm: no drop covers anything. "
        "Offer a wider roll."
    )
    return finding(FindingCode.NOT_IN_RANGE, message, lined.room, wall, component=Component.VCL_MEMBRANE)
