"""What a feature takes out of the boards, as it is handed to the stage that cuts them."""

from dataclasses import dataclass

from service.vocabulary import FeatureKind


@dataclass(frozen=True, slots=True, kw_only=True)
class FeatureCut:
    """A rectangle in the run's x, through every layer of board; a round hole is stated as its square, with its diameter.

    `wall`, `feature`: whose it is, ordinals of the wall in its room and of the feature in that wall's list. Cuts of one stretch
    lie on its finished face, between floor gap and ceiling, outside its openings, and overlap no other.
    """

    room: int
    wall: int
    feature: int
    kind: FeatureKind
    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float
    diameter_mm: float | None
    rules: tuple[str, ...]
