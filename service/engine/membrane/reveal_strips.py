"""Strips of membrane that take it from the face into a reveal: rule M2."""

from dataclasses import dataclass

from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import PlacedOpening
from service.engine.parameters import Parameters
from service.engine.units import EPSILON
from service.vocabulary import OpeningKind

FLAP_SPARE_MM = 50.0
"""M2: half of what was cut out of an opening dresses a jamb if it is this much longer than the reveal is deep."""


@dataclass(frozen=True, slots=True)
class OpeningEdges:
    """The edges of an opening as far as a stretch carries membrane round it; 0 for one that it does not."""

    placed: PlacedOpening
    left_mm: float
    head_mm: float
    sill_mm: float
    left_jamb_mm: float
    right_jamb_mm: float


@dataclass(frozen=True, slots=True)
class RevealStrip:
    """In the run's x: the lower or left end of the edge it is dressed over. `depth_mm` over the edge, `length_mm` along it."""

    placed: PlacedOpening
    x_mm: float
    y_mm: float
    depth_mm: float
    length_mm: float


def opening_edges(lined: LinedStretch) -> list[OpeningEdges]:
    """A frame that ends under a low ceiling, or at a stop end, may do so within an opening: what lies beyond is left out."""
    stretch, found = lined.stretch, []
    x0, x1 = stretch.x0_mm, stretch.x1_mm
    for o in stretch.openings:
        a, b, high = max(o.left_mm, x0), min(o.right_mm, x1), o.head_mm - o.sill_mm
        left_jamb, right_jamb = o.left_mm >= x0 - EPSILON, o.right_mm <= x1 + EPSILON
        found.append(OpeningEdges(o, a, b - a, b - a, high if left_jamb else 0.0, high if right_jamb else 0.0))
    return found


def reveal_strips(lined: LinedStretch, edges: list[OpeningEdges], p: Parameters) -> list[RevealStrip]:
    """`reveal + d + lap` wide: at head and sill where they do not reach ceiling or floor, at jambs where half the opening's
    width is less than `reveal + d + 50`. At a hearth, whose reveal is not lined, it only returns to the masonry: reveal 0."""
    strips: list[RevealStrip] = []
    for edge in edges:
        o = edge.placed
        reveal = 0.0 if o.opening.kind is OpeningKind.HEARTH else o.opening.reveal_depth_mm
        over = reveal + lined.stretch.run.offset_mm
        wanted: list[tuple[float, float, float]] = []
        if not o.reaches_floor:
            wanted.append((edge.left_mm, o.sill_mm, edge.sill_mm))
        if (o.right_mm - o.left_mm) / 2 < over + FLAP_SPARE_MM - EPSILON:
            wanted += [(o.left_mm, o.sill_mm, edge.left_jamb_mm), (o.right_mm, o.sill_mm, edge.right_jamb_mm)]
        if not o.reaches_ceiling:
            wanted.append((edge.left_mm, o.head_mm, edge.head_mm))
        depth = over + p.membrane_lap_mm
        strips += [RevealStrip(o, x, y, depth, length) for x, y, length in wanted if length > EPSILON]
    return sorted(strips, key=lambda s: (s.x_mm, s.y_mm))
