"""Short words for the features of hand-worked tests, and what their stretches make of them."""

from typing import Any

from insulation.walls_by_hand import STOCK

from service.engine.features.place import FeatureWork, place_features
from service.engine.framing.frame import set_out_frame
from service.engine.inputs import Feature, Room, Wall
from service.engine.parameters import Parameters
from service.finding_codes import FindingCode
from service.vocabulary import ROLE_COMPONENTS, FeatureKind

CAUTIONS = {FindingCode.FEATURE_ELECTRICAL, FindingCode.FEATURE_GAS}


def feature(kind: FeatureKind, x: float, y: float, **given: Any) -> Feature:
    return Feature(kind=kind, x_mm=x, y_mm=y, **given)


def works(*walls: Wall, closed: bool = False, p: Parameters | None = None) -> list[FeatureWork]:
    """One for each stretch of a room."""
    room, p = Room(walls=walls, closed=closed), p or Parameters()
    frame = set_out_frame((room,), p, ROLE_COMPONENTS, STOCK)
    return [place_features(lined, room, p, ROLE_COMPONENTS) for lined in frame.lined]


def work(*walls: Wall, closed: bool = False, p: Parameters | None = None) -> FeatureWork:
    (only,) = works(*walls, closed=closed, p=p)
    return only


def cuts(answer: FeatureWork) -> list[tuple[float, float, float, float]]:
    """x0, x1, y0, y1 of each."""
    return [(c.x0_mm, c.x1_mm, c.y0_mm, c.y1_mm) for c in answer.cuts]


def rails(answer: FeatureWork) -> list[tuple[float, float, int]]:
    """x, y, length of each."""
    return [(m.x_mm, m.y_mm, m.length_mm) for m in answer.supports]


def said(answer: FeatureWork) -> list[str]:
    """Every code but the cautions."""
    return [f.code for f in answer.findings if f.code not in CAUTIONS]
