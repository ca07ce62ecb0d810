"""Brackets where studs cross rails, and the check that every stud is held often enough: rule R4."""

import itertools
from dataclasses import dataclass

from service.engine.findings import finding
from service.engine.framing.pieces import Piece, StudLine
from service.engine.framing.rails import RailStretch
from service.engine.geometry.runs import Stretch, WallSpan
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.vocabulary import FindingCode


@dataclass(slots=True, eq=False)
class Hold:
    """A bracket before it has a name: it holds `piece` at rail piece `rail`; `span` is the wall it is fixed to."""

    x_mm: float
    y_mm: float
    piece: Piece
    rail: Piece
    span: WallSpan


def hold_studs(rails: list[RailStretch], stretch: Stretch) -> list[Hold]:
    """One bracket at every crossing of a stud and a rail."""
    return [
        Hold(line.x_mm, rail.y_mm, upright.piece_at(rail.y_mm), rail.piece_at(line.x_mm), stretch.run.span_at(line.x_mm))
        for rail in rails
        for line, upright in rail.holds
    ]


def hold_profile(rails: list[RailStretch], stretch: Stretch, profile: list[Piece], p: Parameters) -> list[Hold]:
    """One bracket a row for a corner profile, from the left-hand wall's rails where they run on to it."""
    holds = []
    for rail in rails:
        x = profile[0].x_mm
        part = next((part for part in profile if part.y_mm <= rail.y_mm + p.stud_face_mm / 2 <= part.top_mm), None)
        if part is not None and rail.x0_mm - EPSILON <= x <= rail.x1_mm + EPSILON:
            holds.append(Hold(x, rail.y_mm, part, rail.piece_at(x), stretch.run.spans[-1]))
    return holds


def span_findings(lines: list[StudLine], rails: list[RailStretch], room: int, p: Parameters) -> list[Finding]:
    """A finding for each wall on which a stud has too great a length between two supports: ends and brackets."""
    held: dict[int, list[float]] = {}
    for rail in rails:
        for _, upright in rail.holds:
            held.setdefault(id(upright), []).append(rail.y_mm)
    over: dict[int, list[tuple[float, float]]] = {}
    for line in lines:
        for upright in line.uprights:
            supports = [upright.y_mm, *sorted(held.get(id(upright), ())), upright.top_mm]
            widest = max(b - a for a, b in itertools.pairwise(supports))
            if widest > p.max_stud_span_mm + EPSILON:
                span = upright.pieces[0].span
                over.setdefault(span.ordinal, []).append((line.x_mm - span.start_mm, widest))
    found = []
    for wall, studs in over.items():
        at = ", ".join(f"{x:.0f}" for x in sorted({x for x, _ in studs}))
        found.append(
            finding(
                FindingCode.SPAN_OVER_LIMIT,
                f"Studs at x = {at} mm are up to {max(s for _, s in studs):.0f} mm long between two supports; the limit is "
                f"{p.max_stud_span_mm:g} mm. Hold them another way or have the span checked.",
                room, wall,
            )
        )  # fmt: skip
    return found
