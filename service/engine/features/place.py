"""Places the features of a stretch: what is cut for them, sealed round them, fixed into the frame for them. Rules V1 to V10."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.engine.features.cautions import cautions
from service.engine.features.cut_outs import cut_outs, near_rails
from service.engine.features.elevation import elevation_of
from service.engine.features.hung import hung_findings
from service.engine.features.seals import seals_round
from service.engine.features.sizes import PlacedFeature, features_on
from service.engine.features.supports import members_of, support_rails
from service.engine.findings import finding, in_order
from service.engine.geometry.cuts import FeatureCut
from service.engine.geometry.lined import LinedStretch
from service.engine.inputs import Room
from service.engine.parameters import Parameters
from service.engine.results import Finding, Fixings, Member, Usage
from service.finding_codes import FindingCode
from service.vocabulary import HUNG, Component, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class FeatureWork:
    """What the features of one stretch take. `cuts` in the run's x, all else in the walls' own; everything says its wall."""

    cuts: tuple[FeatureCut, ...]
    supports: tuple[Member, ...]
    fixings: tuple[Fixings, ...]
    usages: tuple[Usage, ...]
    findings: tuple[Finding, ...]


def place_features(lined: LinedStretch, room: Room, p: Parameters, components: Mapping[Role, Component]) -> FeatureWork:
    """Works out what sockets, switches, pipes, vents, radiators and heavy items need of a lining.

    Args: lined: the framed stretch, in whose run's x they stand. room: that has the walls of the run. components: what a support
    rail is cut from.
    Returns: cut-outs for the boards, none overlapping another; support rails as members, named wall by wall from left to right,
    with their screws; tape and sealant in metres; what is in the way of what, and cautions.
    Source: setting-out rules V1 to V10.
    """
    on = elevation_of(lined, p)
    surveyed = features_on(lined, room, p)
    past = [one for one in surveyed if one.past_mm > 0 and _into_the_next_wall(one, lined)]
    here = [one for one in surveyed if one not in past]
    hung = [one for one in here if one.kind in HUNG]

    passing, found = cut_outs(here, on, p)
    rails, unsupported = support_rails(hung, lined, on, p)
    supports, fixings = members_of(rails, lined, components)
    found += [_past_its_wall(one, lined) for one in past]
    found += [*hung_findings(hung, passing, on), *unsupported, *cautions(surveyed, lined.room)]
    found += near_rails(passing, [rail.area for rail in rails], on, p)
    return FeatureWork(
        cuts=tuple(one.cut for one in passing),
        supports=tuple(supports),
        fixings=tuple(fixings),
        usages=tuple(usage for one in passing for usage in seals_round(one, lined.room, p)),
        findings=in_order(found),
    )


def _into_the_next_wall(placed: PlacedFeature, lined: LinedStretch) -> bool:
    """Past a joint of the run; past its ends the face itself decides, which may run on round a corner."""
    spans = lined.stretch.run.spans
    return placed.span is not (spans[0] if placed.feature.x_mm < 0 else spans[-1])


def _past_its_wall(placed: PlacedFeature, lined: LinedStretch) -> Finding:
    message = f"{placed.name} stands {placed.past_mm:.0f} mm past the end of its wall: nothing is cut or fixed for it."
    return finding(FindingCode.FEATURE_OFF_FACE, message, lined.room, placed.wall)
