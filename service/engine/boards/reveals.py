"""Linings of reveals, cut from insulated laminate: rule B5."""

import math
from dataclasses import dataclass

from service.engine.boards.face import has_lined_sill, lining_thickness
from service.engine.findings import finding
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import PlacedOpening
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode
from service.vocabulary import OpeningKind, PieceRole


@dataclass(frozen=True, slots=True)
class RevealPiece:
    """One piece of lining, in the run's x: where its edge of the opening begins, how deep and how long it is."""

    placed: PlacedOpening
    role: PieceRole
    x_mm: float
    y_mm: float
    depth_mm: float
    length_mm: float


def reveals_of(lined: LinedStretch, width_mm: float, longest_mm: float, p: Parameters) -> tuple[list[RevealPiece], list[Finding]]:
    """Head of the full width, jambs between head and sill, sill where it is boarded. Args: the laminate sheet's sizes."""
    pieces: list[RevealPiece] = []
    found: list[Finding] = []
    for o in lined.stretch.openings:
        if o.opening.kind is OpeningKind.HEARTH:
            continue
        for role, x, y, length in _edges(o, p):
            for depth in _equal_parts(reveal_depth(lined, o), width_mm):
                start = 0.0
                for part in _equal_parts(length, longest_mm):
                    up = role is PieceRole.REVEAL_JAMB
                    pieces.append(RevealPiece(o, role, x if up else x + start, y + start if up else y, depth, part))
                    start += part
        found += _too_narrow(lined, o, p)
    return pieces, found


def reveal_depth(lined: LinedStretch, o: PlacedOpening) -> float:
    """From the window's frame to the frame line, which the face boards lap."""
    return o.opening.reveal_depth_mm + lined.stretch.run.offset_mm


def jamb_height(o: PlacedOpening, p: Parameters) -> float:
    v = lining_thickness(o, p)
    return o.head_mm - o.sill_mm - v - (v if has_lined_sill(o) else 0.0)


def _edges(o: PlacedOpening, p: Parameters) -> list[tuple[PieceRole, float, float, float]]:
    """Role, lower or left end, and length of each lined edge; none where the linings would fill the opening."""
    v, width, height = lining_thickness(o, p), o.right_mm - o.left_mm, jamb_height(o, p)
    if width - 2 * v <= EPSILON or height <= EPSILON:
        return []
    foot = o.sill_mm + (v if has_lined_sill(o) else 0.0)
    edges = [
        (PieceRole.REVEAL_HEAD, o.left_mm, o.head_mm, width),
        (PieceRole.REVEAL_JAMB, o.left_mm, foot, height),
        (PieceRole.REVEAL_JAMB, o.right_mm, foot, height),
    ]
    return [*edges, (PieceRole.REVEAL_SILL, o.left_mm, o.sill_mm, width)] if has_lined_sill(o) else edges


def _equal_parts(length: float, most: float) -> list[float]:
    """As few parts as possible, all alike: a lining longer than the sheet is joined."""
    parts = max(1, math.ceil(length / most - EPSILON))
    return [length / parts] * parts


def _too_narrow(lined: LinedStretch, o: PlacedOpening, p: Parameters) -> list[Finding]:
    v, margin = lining_thickness(o, p), o.opening.frame_margin_mm
    if o.right_mm - o.left_mm <= 2 * v + EPSILON or jamb_height(o, p) <= EPSILON:
        message = (
            f"The opening is too small to line: linings of {v:g} mm on its edges leave nothing open. The boards pass over it."
        )
    elif margin is not None and margin < v:
        message = (
            f"The window's frame leaves {margin:g} mm for a lining and the reveal lining is {v:g} mm thick: take a thinner "
            "one or cut the reveal back."
        )
    else:
        return []
    return [finding(FindingCode.REVEAL_TOO_NARROW, message, lined.room, o.wall, o.ordinal)]
