"""Where features stand and how large they are: rules V1 and V2."""

from dataclasses import dataclass

from service.engine.features.area import Area
from service.engine.geometry.cuts import FeatureCut
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import WallSpan, stretches_of
from service.engine.inputs import Feature, Room
from service.engine.parameters import Parameters
from service.vocabulary import FeatureKind

BOXES = frozenset({FeatureKind.SOCKET, FeatureKind.SWITCH})
DUCTS = frozenset({FeatureKind.PIPE, FeatureKind.VENT})


@dataclass(frozen=True, slots=True)
class PlacedFeature:
    """A feature in its run's x. `ordinal`: its place in its wall's list. Sizes are of the thing itself, 0 where not known."""

    feature: Feature
    span: WallSpan
    ordinal: int
    x_mm: float
    width_mm: float
    height_mm: float

    @property
    def area(self) -> Area:
        return self._around(self.width_mm, self.height_mm)

    def _around(self, width: float, height: float) -> Area:
        y = self.feature.y_mm
        return Area(self.x_mm - width / 2, self.x_mm + width / 2, y - height / 2, y + height / 2)

    @property
    def round(self) -> bool:
        return self.kind in DUCTS and self.width_mm == self.height_mm

    def hole(self, p: Parameters) -> tuple[float, float]:
        """V2: width and height of what is taken out of the boards for what passes through them."""
        more = 2 * p.pipe_clearance_mm if self.kind in DUCTS else 0.0
        return self.width_mm + more, self.height_mm + more

    @property
    def kind(self) -> FeatureKind:
        return self.feature.kind

    @property
    def wall(self) -> int:
        return self.span.ordinal

    @property
    def name(self) -> str:
        """As a sentence begins with it."""
        return f"{self.kind.replace('_', ' ').capitalize()} (feature {self.ordinal})"

    def within(self, another: "PlacedFeature") -> str:
        """As a sentence about another feature names it."""
        name = f"the {self.name[0].lower()}{self.name[1:]}"
        return name if self.wall == another.wall else f"{name} of wall {self.wall}"

    @property
    def past_mm(self) -> float:
        """How far its centre stands past an end of its own wall, 0 when it does not."""
        return max(0.0, -self.feature.x_mm, self.feature.x_mm - self.span.wall.length_mm)

    def place(self, room: int) -> str:
        return f"{room}/{self.wall}/feature-{self.ordinal}"

    def cut(self, room: int, p: Parameters) -> FeatureCut:
        width, height = self.hole(p)
        area = self._around(width, height)
        return FeatureCut(
            room=room, wall=self.wall, feature=self.ordinal, kind=self.kind,
            x0_mm=area.x0_mm, x1_mm=area.x1_mm, y0_mm=area.y0_mm, y1_mm=area.y1_mm,
            diameter_mm=width if self.round else None, rules=("V1", "V2"),
        )  # fmt: skip


def features_on(lined: LinedStretch, room: Room, p: Parameters) -> list[PlacedFeature]:
    """V1: the features of a stretch, wall by wall in survey order."""
    return [
        _placed(span, ordinal, feature, p)
        for span in lined.stretch.run.spans
        for ordinal, feature in enumerate(room.walls[span.ordinal - 1].features, start=1)
        if _belongs(lined, span.start_mm + feature.x_mm)
    ]


def _belongs(lined: LinedStretch, x: float) -> bool:
    """Whether this is the stretch of its run in which x lies, or the nearest to it; the left one of two as near."""
    nearest = min(stretches_of(lined.stretch.run), key=lambda s: (max(s.x0_mm - x, x - s.x1_mm, 0.0), s.x0_mm))
    return nearest.x0_mm == lined.stretch.x0_mm


def _placed(span: WallSpan, ordinal: int, feature: Feature, p: Parameters) -> PlacedFeature:
    width, height = _size(feature, p)
    return PlacedFeature(feature, span, ordinal, span.start_mm + feature.x_mm, width, height)


def _size(feature: Feature, p: Parameters) -> tuple[float, float]:
    """Width and height; 0 where what hangs is of unknown size."""
    if feature.kind in BOXES:
        usual = p.socket_box_width_mm if feature.kind is FeatureKind.SOCKET else p.switch_box_width_mm
        return _given(feature.width_mm, usual), _given(feature.height_mm, p.box_height_mm)
    if feature.kind in DUCTS:
        usual = p.pipe_diameter_mm if feature.kind is FeatureKind.PIPE else p.vent_diameter_mm
        either = _given(feature.width_mm, _given(feature.height_mm, usual))
        return either, _given(feature.height_mm, either)
    return _given(feature.width_mm, 0.0), _given(feature.height_mm, 0.0)


def _given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value
