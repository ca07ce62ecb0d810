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


def span_findings(lines: list[StudLine], rails: list[RailStretch], stretch: Stretch, p: Parameters) -> list[Finding]:
    """A finding for each wall on which a stud has too great a length between two supports: ends and brackets."""
    held: dict[int, list[float]] = {}
    for rail in rails:
        for _, upright in rail.holds:
            held.setdefault(id(upright), []).append(rail.y_mm)
    over: dict[int, list[tuple[float, float, bool]]] = {}
    for line in lines:
        past_masonry = not 0 <= line.x_mm <= stretch.run.length_mm
        for upright in line.uprights:
            supports = [upright.y_mm, *sorted(held.get(id(upright), ())), upright.top_mm]
            widest = max(b - a for a, b in pairwise(supports))
            if widest > p.max_stud_span_mm + EPSILON:
                span = upright.pieces[0].span
                over.setdefault(span.ordinal, []).append((line.x_mm - span.start_mm, widest, past_masonry))
    return [finding(FindingCode.SPAN_OVER_LIMIT, _over_span(studs, p), stretch.run.room, wall) for wall, studs in over.items()]


def _over_span(studs: list[tuple[float, float, bool]], p: Parameters) -> str:
    """The sentence: studs past an external corner's masonry, which no rail reaches, are told from the others."""
    longest = max(widest for _, widest, _ in studs)
    at = ", ".join(f"{x:.0f}" for x in sorted({x for x, _, _ in studs}))
    if all(past for _, _, past in studs):
        return (
            f"The corner stud at x = {at} mm stands past the masonry, where no rail reaches. It spans {longest:.0f} mm, held "
            f"only by the stud it is screwed to; the limit is {p.max_stud_span_mm:g} mm. Strap it back or have it checked."
        )
    return (
        f"Studs at x = {at} mm are up to {longest:.0f} mm long between two supports; the limit is {p.max_stud_span_mm:g} mm. "
        "Hold them another way or have the span checked."
    )
