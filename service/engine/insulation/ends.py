"""Where the insulation of a stretch begins and ends: rule I1, and what it does where no other insulation meets it.

It lies on the masonry, so it keeps to the masonry's length and not to the frame line. With i its thickness and θ the corner:

- Internal corner of two linings: up to 90 the left-hand wall's runs to its masonry corner and the right-hand wall's starts
  i·cot(θ/2) in, clear of it; the wedge that the splay of the one leaves over is the wedge that remains behind the other.
  Above 90 both reach the masonry corner and are splay-cut to each other, i·cot(θ/2) shorter in front.
- External corner of two linings: the left-hand wall's runs i·|cot(θ/2)| past, the right-hand wall's starts at its masonry corner.
- Where two frames step at a blunt corner their insulation still meets there, as above.
- Against masonry without insulation (an unlined wall, a wall for which no lining could be set out): at the masonry corner,
  splay-cut where the other wall leans in.
- Stop end, and where the ceiling is too low: where the frame ends.
"""

from dataclasses import dataclass

from service.engine.geometry.corners import End
from service.engine.geometry.lined import LinedStretch
from service.engine.parameters import Parameters
from service.engine.units import cot
from service.vocabulary import EndKind


@dataclass(frozen=True, slots=True)
class InsulationEnd:
    """`x_mm` in the run's x; `bevel_mm`: how much shorter the front is than the back; `rules` that put it there."""

    x_mm: float
    bevel_mm: float
    rules: tuple[str, ...]


def insulation_ends(lined: LinedStretch, p: Parameters) -> tuple[InsulationEnd, InsulationEnd]:
    """The left-hand and the right-hand end."""
    return _end(lined, p, right=False), _end(lined, p, right=True)


def _end(lined: LinedStretch, p: Parameters, *, right: bool) -> InsulationEnd:
    stretch, thickness = lined.stretch, p.insulation_thickness_mm
    end = stretch.right if right else stretch.left
    frame, corner = (stretch.x1_mm, stretch.run.length_mm) if right else (stretch.x0_mm, 0.0)
    if end is None:
        return InsulationEnd(frame, 0.0, ("F3",))
    if end.kind is EndKind.STOP_END:
        return InsulationEnd(frame, 0.0, ("F2",))
    meets = lined.goes_on_right if right else lined.goes_on_left
    if meets and end.corner_deg < 180:
        mitre = thickness * cot(end.corner_deg / 2)
        if end.corner_deg > 90:
            return InsulationEnd(corner, mitre, ("I1",))
        return InsulationEnd(corner, _splay(end, thickness), ("I1",)) if right else InsulationEnd(mitre, 0.0, ("I1",))
    if meets:
        past = thickness * abs(cot(end.corner_deg / 2)) if right else 0.0
        return InsulationEnd(corner + past, 0.0, ("I1",))
    leans_in = end.kind in (EndKind.INTERNAL_CORNER, EndKind.UNLINED_WALL)
    return InsulationEnd(corner, _splay(end, thickness) if leans_in else 0.0, ())


def _splay(end: End, thickness: float) -> float:
    """How much shorter the front is where it meets masonry that leans in over it."""
    return thickness * cot(end.corner_deg) if end.corner_deg < 90 else 0.0
