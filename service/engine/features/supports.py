"""Rails between the studs for what hangs on the lining: rules V7, V8, V9."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from service.engine.features.area import Area
from service.engine.features.elevation import Elevation
from service.engine.features.sizes import PlacedFeature
from service.engine.findings import finding
from service.engine.geometry.lined import LinedStretch
from service.engine.parameters import Parameters
from service.engine.results import Finding, Fixings, Member
from service.engine.units import EPSILON, whole_mm
from service.finding_codes import FindingCode
from service.vocabulary import Component, Direction, FeatureKind, Role

LEAST_RAIL_MM = 50
"""V7: between studs that are nearer than this no rail can be screwed in; the studs carry."""
SCREWS_PER_RAIL_END = 2


@dataclass(frozen=True, slots=True)
class Rail:
    """A support rail from stud face to stud face in the run's x; `area`: what it takes up, over its whole face."""

    area: Area

    @property
    def middle_mm(self) -> float:
        return (self.area.y0_mm + self.area.y1_mm) / 2

    @property
    def length_mm(self) -> int:
        return whole_mm(self.area.width_mm)


def needs_support(placed: PlacedFeature, p: Parameters) -> bool:
    """V8: all that hangs, but for a heavy item known to be light."""
    mass = placed.feature.mass_kg
    return placed.kind is FeatureKind.RADIATOR or mass is None or mass > p.board_carries_kg


def support_rails(
    hung: list[PlacedFeature], lined: LinedStretch, on: Elevation, p: Parameters
) -> tuple[list[Rail], list[Finding]]:
    """The rails of all that hangs, from left to right and upwards, none overlapping another; and what is left without support."""
    rails: list[Rail] = []
    found: list[Finding] = []
    for placed in hung:
        if not needs_support(placed, p):
            continue
        found += _too_heavy(placed, on, p)
        half = (placed.width_mm or p.hung_width_mm) / 2
        a = max(placed.x_mm - half, lined.stretch.channel_x0_mm)
        b = min(placed.x_mm + half, lined.stretch.channel_x1_mm)
        for y in rows_of(placed, p):
            studs, bays = _carriers(on, y, p)
            found += _unsupported(placed, y, a, b, [*studs, *bays], on)
            for bay in bays:
                if min(bay.x1_mm, b) - max(bay.x0_mm, a) > EPSILON and bay.width_mm >= LEAST_RAIL_MM - EPSILON:
                    found += _add(Rail(bay), placed, rails, on, p)
    return sorted(rails, key=lambda rail: (rail.area.x0_mm, rail.area.y0_mm)), found


def rows_of(placed: PlacedFeature, p: Parameters) -> list[float]:
    """V7: heights of the rails' middles."""
    area = placed.area
    low, high = area.y0_mm + p.support_inset_mm, area.y1_mm - p.support_inset_mm
    return [low, high] if high - low >= p.stud_face_mm - EPSILON else [placed.feature.y_mm]


def _carriers(on: Elevation, y: float, p: Parameters) -> tuple[list[Area], list[Area]]:
    """The faces of studs over a rail's whole height, and between neighbours of them the bays that a rail can span: a stud that
    ends within the rail's height closes one.
    """
    half = p.stud_face_mm / 2
    low, high = y - half, y + half
    xs = [s.x_mm for s in on.lines if any(foot <= low + EPSILON and high - EPSILON <= top for foot, top in s.strips)]
    near = [(a, b) for a, b in pairwise(xs) if b - a <= p.stud_centres_mm + p.centres_tolerance_mm + EPSILON]
    bays = [Area(a + half, b - half, low, high) for a, b in near]
    free = [bay for bay in bays if on.met(bay) is None and not any(bay.overlaps(stud) for stud in on.studs)]
    return [Area(x - half, x + half, low, high) for x in xs], free


def _add(rail: Rail, placed: PlacedFeature, rails: list[Rail], on: Elevation, p: Parameters) -> list[Finding]:
    """V9: a rail that is there already serves, or is in the way."""
    there = [other for other in rails if rail.area.overlaps(other.area)]
    if any(abs(other.middle_mm - rail.middle_mm) <= p.stud_face_mm / 2 + EPSILON for other in there):
        return []
    if not there:
        rails.append(rail)
        return []
    message = (
        f"{placed.name} wants a rail at {rail.middle_mm:.0f} mm where one at {there[0].middle_mm:.0f} mm is in the way: "
        f"hang it within {p.stud_face_mm / 2:g} mm of that one, or at least {p.stud_face_mm:g} mm from it."
    )
    return [finding(FindingCode.FEATURE_MEETS_FEATURE, message, on.run.room, placed.wall)]


def _unsupported(placed: PlacedFeature, y: float, a: float, b: float, carriers: list[Area], on: Elevation) -> list[Finding]:
    """Where between a and b nothing carries."""
    gaps, x = [], a
    for area in sorted(carriers, key=lambda area: area.x0_mm):
        if min(area.x0_mm, b) > x + EPSILON:
            gaps.append((x, min(area.x0_mm, b)))
        x = max(x, area.x1_mm)
    if b > x + EPSILON:
        gaps.append((x, b))
    if not gaps:
        return []
    start = placed.span.start_mm
    where = " and ".join(f"{u - start:.0f} to {v - start:.0f}" for u, v in gaps)
    message = (
        f"{placed.name} has no rail behind it at {y:.0f} mm, from x = {where} mm: no two studs stand in reach there. "
        "Carry it on the masonry or move it."
    )
    return [finding(FindingCode.FEATURE_UNSUPPORTED, message, on.run.room, placed.wall)]


def _too_heavy(placed: PlacedFeature, on: Elevation, p: Parameters) -> list[Finding]:
    mass = placed.feature.mass_kg
    if mass is None or mass <= p.support_carries_kg:
        return []
    message = (
        f"{placed.name} weighs {mass:g} kg, over the {p.support_carries_kg:g} kg that rails between studs are taken to carry: "
        "have its fixing designed, or take the load to the floor or the masonry."
    )
    return [finding(FindingCode.FEATURE_TOO_HEAVY, message, on.run.room, placed.wall)]


def members_of(
    rails: list[Rail], lined: LinedStretch, components: Mapping[Role, Component]
) -> tuple[list[Member], list[Fixings]]:
    """The rails with their names, each on the wall where its left end stands, and their screws (X2)."""
    members, fixings, numbers = [], [], dict[int, int]()
    for rail in rails:
        span = lined.stretch.span_at(rail.area.x0_mm)
        wall = span.ordinal
        numbers[wall] = numbers.get(wall, 0) + 1
        label = f"{lined.room}/{wall}/{Role.SUPPORT_RAIL}-{numbers[wall]:02d}"
        members.append(
            Member(
                id=label, role=Role.SUPPORT_RAIL, component=components[Role.SUPPORT_RAIL], room=lined.room, wall=wall,
                x_mm=rail.area.x0_mm - span.start_mm, y_mm=rail.area.y0_mm, length_mm=rail.length_mm,
                direction=Direction.ALONG, rules=("V7",),
            )
        )  # fmt: skip
        fixings.append(
            Fixings(
                component=Component.FRAME_SCREW, role=Role.SUPPORT_RAIL, room=lined.room, wall=wall,
                count=2 * SCREWS_PER_RAIL_END, terms=f"2 ends × {SCREWS_PER_RAIL_END}", members=(label,), rules=("X2", "V7"),
            )
        )  # fmt: skip
    return members, fixings
