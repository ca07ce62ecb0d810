"""Brackets where studs cross rails, and the check that every stud is held often enough: rule R4."""

from dataclasses import dataclass
from itertools import pairwise

from service.engine.findings import finding
from service.engine.framing.pieces import Piece, StudLine
from service.engine.framing.rails import RailStretch
from service.engine.geometry.runs import Stretch, WallSpan
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode


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
        Hold(line.x_mm, rail.y_mm, upright.piece_at(rail.y_mm), rail.piece_at(line.x_mm), stretch.span_at(line.x_mm))
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


def hold_findings(
    lines: list[StudLine], rails: list[RailStretch], holds: list[Hold], profile: list[Piece], stretch: Stretch, p: Parameters
) -> list[Finding]:
    """What is held too little: spans between two supports (ends and brackets), corner profiles, frames without a bracket."""
    room, last = stretch.run.room, stretch.run.spans[-1].ordinal
    found = _spans(lines, rails, stretch, p)
    tall = [u for line in lines for u in line.uprights if u.full and u.length_mm > p.max_stud_span_mm]
    if tall and not holds:
        message = "No bracket holds the frame of this wall: no rail finds room on its masonry. Hold the studs another way."
        found += [finding(FindingCode.FRAME_UNHELD, message, room, span.ordinal) for span in stretch.run.spans]
    if profile and sum(part.length_mm for part in profile) > p.max_stud_span_mm and not any(h.piece in profile for h in holds):
        message = "No bracket holds the corner profile at the right-hand corner: no rail reaches it. Hold it another way."
        found.append(finding(FindingCode.FRAME_UNHELD, message, room, last))
    return found


def _spans(lines: list[StudLine], rails: list[RailStretch], stretch: Stretch, p: Parameters) -> list[Finding]:
    """A finding for each wall on which studs span too far, corner studs past the masonry told from the others."""
    held: dict[int, list[float]] = {}
    for rail in rails:
        for _, upright in rail.holds:
            held.setdefault(id(upright), []).append(rail.y_mm)
    over: dict[tuple[int, bool], list[tuple[float, float]]] = {}
    for line in lines:
        past_masonry = not 0 <= line.x_mm <= stretch.run.length_mm
        for upright in line.uprights:
            supports = [upright.y_mm, *sorted(held.get(id(upright), ())), upright.top_mm]
            widest = max(b - a for a, b in pairwise(supports))
            if widest > p.max_stud_span_mm + EPSILON:
                span = upright.pieces[0].span
                over.setdefault((span.ordinal, past_masonry), []).append((line.x_mm - span.start_mm, widest))
    return [_over_span(wall, past, studs, stretch.run.room, p) for (wall, past), studs in over.items()]


def _over_span(wall: int, past_masonry: bool, studs: list[tuple[float, float]], room: int, p: Parameters) -> Finding:
    longest = max(widest for _, widest in studs)
    at = ", ".join(f"{x:.0f}" for x in sorted({x for x, _ in studs}))
    if past_masonry:
        message = (
            f"The corner stud at x = {at} mm stands past the masonry, where no rail reaches: over {longest:.0f} mm it is held by "
            "the stud it is screwed to. Strap the corner back where that is not stiff enough."
        )
        return finding(FindingCode.CORNER_STUD_SPAN, message, room, wall)
    message = (
        f"Studs at x = {at} mm are up to {longest:.0f} mm long between two supports; the limit is {p.max_stud_span_mm:g} mm. "
        "Hold them another way or have the span checked."
    )
    return finding(FindingCode.SPAN_OVER_LIMIT, message, room, wall)
