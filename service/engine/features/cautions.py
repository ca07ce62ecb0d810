"""What a wall with electrical features, pipes or vents asks of whoever works on it: rule V10."""

from service.engine.features.sizes import BOXES, DUCTS, PlacedFeature
from service.engine.findings import finding
from service.engine.results import Finding
from service.finding_codes import FindingCode
from service.vocabulary import FeatureKind

ELECTRICAL = (
    "Have the circuits isolated before work on this wall; they are moved, extended and tested by a licensed electrician. "
    "Heights, boxes and the rating of cables within insulation are for the local code to decide."
)
PIPES_AND_VENTS = (
    "Find out what each carries, and isolate it, before work on this wall. Gas pipes, flues and the air supply of an appliance "
    "are for a licensed gas engineer; sleeves, seals and free areas are for the local code to decide. Close or narrow no vent."
)


def cautions(features: list[PlacedFeature], room: int) -> list[Finding]:
    """One a wall and kind of danger."""
    found = []
    for kinds, code, advice in (
        (BOXES, FindingCode.FEATURE_ELECTRICAL, ELECTRICAL),
        (DUCTS, FindingCode.FEATURE_GAS, PIPES_AND_VENTS),
    ):
        for wall in sorted({one.wall for one in features if one.kind in kinds}):
            here = [one.kind for one in features if one.kind in kinds and one.wall == wall]
            counted = [_count(here.count(kind), kind) for kind in sorted(set(here))]
            found.append(finding(code, f"{' and '.join(counted)}. {advice}", room, wall))
    return found


def _count(number: int, kind: FeatureKind) -> str:
    return f"1 {kind}" if number == 1 else f"{number} {kind}es" if kind.endswith("ch") else f"{number} {kind}s"
