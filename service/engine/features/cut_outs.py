"""Which cut-outs are made, and what they come too near to: rules V3, V4, V5."""

import math
from dataclasses import dataclass

from service.engine.features.area import Area
from service.engine.features.elevation import Elevation
from service.engine.features.sizes import PlacedFeature
from service.engine.findings import finding
from service.engine.geometry.cuts import FeatureCut
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode
from service.vocabulary import HUNG


@dataclass(frozen=True, slots=True)
class Passing:
    """A feature that passes through the lining, with what is cut for it."""

    placed: PlacedFeature
    cut: FeatureCut

    @property
    def area(self) -> Area:
        return Area(self.cut.x0_mm, self.cut.x1_mm, self.cut.y0_mm, self.cut.y1_mm)


def cut_outs(features: list[PlacedFeature], on: Elevation, p: Parameters) -> tuple[list[Passing], list[Finding]]:
    """The cut-outs in survey order, none overlapping another, and what was found."""
    room = on.run.room
    kept: list[Passing] = []
    found: list[Finding] = []
    for placed in features:
        if placed.kind in HUNG:
            continue
        passing = Passing(placed, placed.cut(room, p))
        why = _nowhere_to_cut(passing, kept, on)
        if why is None:
            kept.append(passing)
        else:
            found.append(why)
    for i, passing in enumerate(kept):
        found += [*_near_edges(passing, on, p), *_near_others(passing, kept[:i], on, p), *_near_studs(passing, kept, on, p)]
    return kept, found


def off_face(placed: PlacedFeature, area: Area, on: Elevation, then: str) -> Finding | None:
    """V3: where an area stands past an edge of the finished face, or before an opening; `then`: what follows from it."""
    edge, margin = min(on.margins(area).items(), key=lambda item: item[1])
    if margin < -EPSILON:
        message = f"{placed.name} stands {-margin:.0f} mm past the {edge} of the lined face: {then}"
        return finding(FindingCode.FEATURE_OFF_FACE, message, on.run.room, placed.wall)
    opening = on.met(area)
    if opening is not None:
        message = f"{placed.name} stands in the {opening.opening.kind}: {then}"
        ordinal = opening.ordinal if opening.wall == placed.wall else None
        return finding(FindingCode.FEATURE_MEETS_OPENING, message, on.run.room, placed.wall, ordinal)
    return None


def _nowhere_to_cut(passing: Passing, kept: list[Passing], on: Elevation) -> Finding | None:
    placed = passing.placed
    other = next((one for one in kept if passing.area.overlaps(one.area)), None)
    why = off_face(placed, passing.area, on, "nothing is cut for it.")
    if why is not None or other is None:
        return why
    message = f"{placed.name} overlaps {other.placed.within(placed)}: nothing more is cut for it."
    return finding(FindingCode.FEATURE_MEETS_FEATURE, message, on.run.room, placed.wall)


def _near_edges(passing: Passing, on: Elevation, p: Parameters) -> list[Finding]:
    placed, wanted = passing.placed, p.feature_edge_clearance_mm
    near: list[tuple[str, float, int | None]] = [
        (f"the {edge} of the face", margin, None) for edge, margin in on.margins(passing.area).items()
    ]
    near += [
        (f"the {o.opening.kind}", passing.area.apart(hole), o.ordinal if o.wall == placed.wall else None)
        for o, hole in on.openings
    ]
    return [
        finding(
            FindingCode.FEATURE_NEAR_EDGE,
            f"{placed.name} leaves {left:.0f} mm of board to {what}; {wanted:g} mm would hold better.",
            on.run.room, placed.wall, ordinal,
        )
        for what, left, ordinal in near
        if left < wanted - EPSILON
    ]  # fmt: skip


def _near_others(passing: Passing, before: list[Passing], on: Elevation, p: Parameters) -> list[Finding]:
    return [
        finding(
            FindingCode.FEATURE_MEETS_FEATURE,
            f"{passing.placed.name} leaves {max(0.0, passing.area.apart(other.area)):.0f} mm of board to "
            f"{other.placed.within(passing.placed)}; {p.feature_edge_clearance_mm:g} mm would hold better.",
            on.run.room, passing.placed.wall,
        )
        for other in before
        if passing.area.nearer(other.area, p.feature_edge_clearance_mm)
    ]  # fmt: skip


def _near_studs(passing: Passing, kept: list[Passing], on: Elevation, p: Parameters) -> list[Finding]:
    placed, wanted = passing.placed, p.feature_stud_clearance_mm
    studs = [stud for stud in on.studs if passing.area.nearer(stud, wanted)]
    if not studs:
        return []
    at = ", ".join(f"{(s.x0_mm + s.x1_mm) / 2 - placed.span.start_mm:.0f}" for s in studs)
    by = sideways(passing, [other.area for other in kept if other is not passing], on, p)
    if by is None:
        advice = "no place beside it at this height is free"
    else:
        advice = f"{abs(by)} mm further {'left' if by < 0 else 'right'} it is clear"
    message = f"{placed.name} meets the stud at x = {at} mm (it should keep {wanted:g} mm): {advice}."
    return [finding(FindingCode.FEATURE_MEETS_STUD, message, on.run.room, placed.wall)]


def near_rails(cuts: list[Passing], rails: list[Area], on: Elevation, p: Parameters) -> list[Finding]:
    """V4: cut-outs in front of a support rail."""
    return [
        finding(
            FindingCode.FEATURE_MEETS_FEATURE,
            f"{passing.placed.name} meets a support rail at {(rail.y0_mm + rail.y1_mm) / 2:.0f} mm: move it up or down.",
            on.run.room, passing.placed.wall,
        )
        for passing in cuts
        for rail in rails
        if passing.area.nearer(rail, p.feature_stud_clearance_mm)
    ]  # fmt: skip


def sideways(passing: Passing, others: list[Area], on: Elevation, p: Parameters) -> int | None:
    """V4: the least move, in whole mm to the right, that clears studs, openings, edges and other cut-outs; left before right."""
    area, edge = passing.area, p.feature_edge_clearance_mm
    blockers = [stud.grown(p.feature_stud_clearance_mm) for stud in on.studs]
    blockers += [hole.grown(edge) for _, hole in on.openings] + [other.grown(edge) for other in others]
    wanted = {name: min(edge, margin) if name in ("foot", "top") else edge for name, margin in on.margins(area).items()}

    def free(moved: Area) -> bool:
        at_edges = all(margin >= wanted[name] - EPSILON for name, margin in on.margins(moved).items())
        return at_edges and not any(moved.overlaps(blocker) for blocker in blockers)

    level = [b for b in blockers if b.y0_mm < area.y1_mm and b.y1_mm > area.y0_mm]
    moves = {math.floor(b.x0_mm - area.x1_mm + EPSILON) for b in level} | {
        math.ceil(b.x1_mm - area.x0_mm - EPSILON) for b in level
    }
    return min((by for by in moves if free(area.moved(by))), key=lambda by: (abs(by), by), default=None)
