"""A framed stretch as the further stages see it: where boards can be fixed, and how its ends are formed.

Insulation, membrane and boards are set out over the stretch, in its run's x, and given to the wall on which they stand.
"""

from dataclasses import dataclass

from service.engine.geometry.corners import End
from service.engine.geometry.cuts import FeatureCut
from service.engine.geometry.runs import Stretch
from service.vocabulary import EndKind


@dataclass(frozen=True, slots=True)
class StudAt:
    """A stud line: centre x, whether it stands at an opening's edge, and the heights over which studs stand on it."""

    x_mm: float
    jamb: bool
    strips: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class LinedStretch:
    """`goes_on_left`, `goes_on_right`: whether another frame meets this one at that corner, or stands beyond a step. `cuts`: what
    its features take out of the boards."""

    stretch: Stretch
    studs: tuple[StudAt, ...]
    goes_on_left: bool
    goes_on_right: bool
    cuts: tuple[FeatureCut, ...] = ()

    @property
    def room(self) -> int:
        return self.stretch.run.room

    @property
    def meets_left(self) -> bool:
        """Whether another frame meets this one at its left-hand corner, internal or external."""
        return self.goes_on_left and not _is_step(self.stretch.left)

    @property
    def meets_right(self) -> bool:
        return self.goes_on_right and not _is_step(self.stretch.right)

    def lined_corner(self, *, right: bool, kind: EndKind) -> End | None:
        """The end at that side when it is a corner of this kind where two linings meet, else None."""
        end = self.stretch.right if right else self.stretch.left
        meets = self.meets_right if right else self.meets_left
        return end if end is not None and meets and end.kind is kind else None


def _is_step(end: End | None) -> bool:
    return end is not None and end.kind is EndKind.STEP
