"""The face that boards cover: where it begins and ends, and what openings and features take out of it. Rules B1, B5, V2."""

from dataclasses import dataclass

from service.engine.geometry.cuts import FeatureCut
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import PlacedOpening
from service.engine.parameters import Parameters
from service.engine.units import EPSILON, cot
from service.vocabulary import EndKind, OpeningKind

NOWHERE = float("inf")


@dataclass(frozen=True, slots=True)
class FaceCut:
    """What an opening or a feature takes out of the boards, in the run's x; without end where it reaches floor or ceiling."""

    of: PlacedOpening | FeatureCut
    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float

    @property
    def full_height(self) -> bool:
        """Leaves no piece above or below: the run of boards ends here."""
        return self.reaches_ceiling and self.y0_mm == -NOWHERE

    @property
    def reaches_ceiling(self) -> bool:
        return self.y1_mm == NOWHERE


@dataclass(frozen=True, slots=True)
class Face:
    """The boarded face of a stretch, in its run's x; `bevel_*`: how much shorter the front is than the back at that end."""

    lined: LinedStretch
    x0_mm: float
    x1_mm: float
    bevel_left_mm: float
    bevel_right_mm: float
    cuts: tuple[FaceCut, ...]

    def segments(self) -> list[tuple[float, float]]:
        """The stretches of face between openings that leave no piece above or below (B2)."""
        free = [(self.x0_mm, self.x1_mm)]
        for cut in self.cuts:
            if cut.full_height:
                sides = [side for a, b in free for side in ((a, min(b, cut.x0_mm)), (max(a, cut.x1_mm), b))]
                free = [(a, b) for a, b in sides if b - a > EPSILON]
        return free


def face_of(lined: LinedStretch, p: Parameters) -> Face:
    """B1: at an internal lined corner the left-hand boards run through and the right-hand ones start in front of them; at an
    external one the left-hand boards cover the right-hand ones' edge; acute ends are bevelled."""
    stretch, t = lined.stretch, p.lining_thickness_mm
    x0, x1 = stretch.x0_mm, stretch.x1_mm
    corner = lined.lined_corner(right=False, kind=EndKind.INTERNAL_CORNER)
    if corner is not None:
        x0 = stretch.finished_x0_mm if corner.neighbour_wall is not None else x0 + t * cot(corner.corner_deg / 2)
    corner = lined.lined_corner(right=True, kind=EndKind.EXTERNAL_CORNER)
    if corner is not None:
        x1 += t * abs(cot(corner.corner_deg / 2))
    return Face(
        lined, x0, x1,
        bevel_left_mm=_bevel(lined, right=False, t=t),
        bevel_right_mm=_bevel(lined, right=True, t=t),
        cuts=(
            *(cut for o in stretch.openings if (cut := face_cut(o, x0, x1, p)) is not None),
            *(FaceCut(f, f.x0_mm, f.x1_mm, f.y0_mm, f.y1_mm) for f in lined.cuts),
        ),
    )  # fmt: skip


def _bevel(lined: LinedStretch, *, right: bool, t: float) -> float:
    end = lined.stretch.right if right else lined.stretch.left
    if end is None or not end.corner_deg < 90 or end.kind not in (EndKind.INTERNAL_CORNER, EndKind.UNLINED_WALL):
        return 0.0
    starts_in_front = end.kind is EndKind.INTERNAL_CORNER and not right
    return 0.0 if starts_in_front else t * cot(end.corner_deg)


def lining_thickness(o: PlacedOpening, p: Parameters) -> float:
    """v: what lines the reveal of this opening; a hearth gets none."""
    return 0.0 if o.opening.kind is OpeningKind.HEARTH else p.reveal_board_thickness_mm


def has_lined_sill(o: PlacedOpening) -> bool:
    return o.opening.board_sill and not o.reaches_floor and o.opening.kind is not OpeningKind.HEARTH


def face_cut(o: PlacedOpening, x0: float, x1: float, p: Parameters) -> FaceCut | None:
    """B5: the face boards lap the edges of the reveal lining. None where the lining leaves nothing open."""
    v = lining_thickness(o, p)
    a, b = max(x0, o.left_mm + v), min(x1, o.right_mm - v)
    low = -NOWHERE if o.reaches_floor else o.sill_mm + (v if has_lined_sill(o) else 0.0)
    high = NOWHERE if o.reaches_ceiling else o.head_mm - v
    if b - a <= EPSILON or high - low <= EPSILON:
        return None
    return FaceCut(o, a, b, low, high)
