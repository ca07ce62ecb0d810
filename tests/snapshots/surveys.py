"""A small survey for tests of results at rest: an open room of two walls, and a room with one wall that is not lined."""

from service.engine.builtin_range import BUILTIN_RANGE
from service.engine.inputs import Feature, Opening, Room, TakeoffInput, Wall
from service.vocabulary import FeatureKind, OpeningKind

WINDOW = Opening(
    kind=OpeningKind.WINDOW, offset_mm=1200, width_mm=1200, sill_mm=900, height_mm=1200, reveal_depth_mm=150, board_sill=True
)
SOCKET = Feature(kind=FeatureKind.SOCKET, x_mm=400, y_mm=450)


def wall(length_mm: float, *openings: Opening, **rest: object) -> Wall:
    return Wall(**{"length_mm": length_mm, "height_left_mm": 2700, "height_right_mm": 2700, "openings": openings, **rest})


def survey(**rest: object) -> TakeoffInput:
    rooms = (
        Room(walls=(wall(4200, WINDOW, features=(SOCKET,)), wall(3000, height_right_mm=2100))),
        Room(walls=(wall(2500), wall(2000, lined=False))),
    )
    return TakeoffInput(**{"rooms": rooms, "items": BUILTIN_RANGE, **rest})


IDS = {
    "1": "room-a", "1/1": "wall-aa", "1/2": "wall-ab", "2": "room-b", "2/1": "wall-ba", "2/2": "wall-bb",
    "1/1/opening-1": "opening-aa", "1/1/feature-1": "feature-aa",
}  # fmt: skip
