"""Upright rectangles on a run's elevation, and how far apart they are."""

from dataclasses import dataclass

from service.engine.units import EPSILON


@dataclass(frozen=True, slots=True)
class Area:
    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float

    @property
    def width_mm(self) -> float:
        return self.x1_mm - self.x0_mm

    @property
    def height_mm(self) -> float:
        return self.y1_mm - self.y0_mm

    def grown(self, by_mm: float) -> "Area":
        return Area(self.x0_mm - by_mm, self.x1_mm + by_mm, self.y0_mm - by_mm, self.y1_mm + by_mm)

    def moved(self, by_mm: float) -> "Area":
        """To the right."""
        return Area(self.x0_mm + by_mm, self.x1_mm + by_mm, self.y0_mm, self.y1_mm)

    def apart(self, other: "Area") -> float:
        """The free distance along or up, whichever is greater; under 0 by how much they overlap, the lesser way."""
        along = max(other.x0_mm - self.x1_mm, self.x0_mm - other.x1_mm)
        up = max(other.y0_mm - self.y1_mm, self.y0_mm - other.y1_mm)
        return max(along, up)

    def overlaps(self, other: "Area") -> bool:
        return self.apart(other) < -EPSILON

    def nearer(self, other: "Area", than_mm: float) -> bool:
        return self.apart(other) < than_mm - EPSILON
