"""What hangs on the face: where it hangs, and what is behind or beside it. Rules V3, V5."""

from service.engine.features.cut_outs import Passing, off_face
from service.engine.features.elevation import Elevation
from service.engine.features.sizes import BOXES, PlacedFeature
from service.engine.findings import finding
from service.engine.results import Finding
from service.finding_codes import FindingCode
from service.vocabulary import FeatureKind


def hung_findings(hung: list[PlacedFeature], cuts: list[Passing], on: Elevation) -> list[Finding]:
    """Hung items off the face or before an opening, over each other, over what must stay in reach or open."""
    found: list[Finding] = []
    for i, placed in enumerate(hung):
        why = off_face(placed, placed.area, on, "it cannot hang there.")
        found += [why] if why is not None else []
        found += [
            _meets(other, placed, "overlaps", on)
            for other in hung[:i]
            if placed.area.overlaps(other.area)
        ]  # fmt: skip
        found += [
            _meets(placed, passing.placed, "is behind", on)
            for passing in cuts
            if _must_be_free(passing.placed, placed) and placed.area.overlaps(passing.placed.area)
        ]
    return found


def _must_be_free(behind: PlacedFeature, hung: PlacedFeature) -> bool:
    return behind.kind is FeatureKind.VENT or (behind.kind in BOXES and hung.kind is FeatureKind.RADIATOR)


def _meets(other: PlacedFeature, placed: PlacedFeature, how: str, on: Elevation) -> Finding:
    message = f"{placed.name} {how} {other.within(placed)}: move one of the two."
    return finding(FindingCode.FEATURE_MEETS_FEATURE, message, on.run.room, placed.wall)
