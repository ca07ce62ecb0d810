"""Pieces of the frame before they have names: positions in the run's x, wall and number given last."""

from dataclasses import dataclass, field

from service.engine.geometry.runs import WallSpan
from service.vocabulary import Direction, Role


@dataclass(slots=True, eq=False)
class Piece:
    """A bar as it will be cut. Fields mean what they mean in `results.Member`; `span` is the wall it belongs to.

    `part`: 0 for a whole member, 1, 2, … for the parts of a spliced one, `whole` then being its first part.
    """

    role: Role
    span: WallSpan
    x_mm: float
    y_mm: float
    length_mm: int
    direction: Direction
    rules: tuple[str, ...]
    splay_start_deg: float = 0.0
    splay_end_deg: float = 0.0
    y_end_mm: float | None = None
    fold_marks_mm: tuple[int, ...] = ()
    joined_to: "Piece | None" = None
    part: int = 0
    whole: "Piece | None" = None
    id: str = ""

    @property
    def top_mm(self) -> float:
        """Upper end of an upright piece."""
        return self.y_mm + self.length_mm

    @property
    def end_mm(self) -> float:
        """Right-hand end of a level piece."""
        return self.x_mm + self.length_mm


@dataclass(slots=True, eq=False)
class Upright:
    """A stud between its two ends: one piece, or the parts of a splice. `full`: from floor to ceiling."""

    pieces: list[Piece]
    full: bool
    y_mm: float
    length_mm: int

    @property
    def top_mm(self) -> float:
        return self.y_mm + self.length_mm

    def piece_at(self, y: float) -> Piece:
        return next((p for p in self.pieces if y <= p.top_mm), self.pieces[-1])


@dataclass(slots=True, eq=False)
class StudLine:
    """All that stands on one vertical line: a full stud, or short ones above and below openings."""

    x_mm: float
    role: Role
    rules: tuple[str, ...]
    uprights: list[Upright] = field(default_factory=list)

    @property
    def is_full(self) -> bool:
        return any(u.full for u in self.uprights)
