"""From a survey document, a specification and items to what the engine is given; and back from places to ids."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from service.engine.heat_inputs import NOTHING_ASKED, HeatInputs
from service.engine.inputs import Feature, Item, Opening, Options, Room, TakeoffInput, Wall
from service.engine.parameters import Parameters
from service.errors import Fault, Invalid
from service.snapshots.places import feature_place, opening_place, room_place, wall_place
from service.store.rules import as_id
from service.usecases.members import FORMS
from service.vocabulary import (
    ROLE_COMPONENTS,
    Component,
    Construction,
    Currency,
    FeatureKind,
    OpeningKind,
    Pool,
    ResourceKind,
    Role,
    Substrate,
)

Json = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Surveyed:
    """A survey as the engine knows it, and what its places are called outside: place → id, place → pointer into the document."""

    rooms: tuple[Room, ...]
    ids: Mapping[str, str]
    pointers: Mapping[str, str]


def engine_input(
    surveyed: Surveyed,
    parameters: Mapping[str, Any],
    components: Mapping[str, str],
    items: Iterable[Item],
    currency: Currency | None,
    options: Json,
    offcuts: Iterable[Item] = (),
    heat: HeatInputs = NOTHING_ASKED,
) -> TakeoffInput:
    """Everything an answer depends on. `parameters`, `components` and `options` hold what differs from the defaults."""
    return TakeoffInput(
        rooms=surveyed.rooms,
        parameters=Parameters(**parameters),
        components={role: Component(components.get(role, ROLE_COMPONENTS[role])) for role in Role},
        items=tuple(items),
        offcuts=tuple(offcuts),
        currency=currency,
        options=Options(
            pool=Pool(options.get("pool") or Pool.PROJECT),
            kerf_mm=options.get("kerf_mm") or 0,
            allowances={Component(name): percent for name, percent in (options.get("allowances") or {}).items() if percent},
        ),
        heat=heat,
    )


def read_rooms(document: Json, takeoff_id: UUID, at: str) -> Surveyed:
    """Reads `{"rooms": [...]}`, left-out members filled with their defaults, missing ids made from the takeoff's and the place.

    Raises:
        Invalid: every member that is wrong, every id given twice; pointers begin with `at`.
    """
    reader = _Reader(takeoff_id)
    rooms = [reader.room(entry, r, f"{at}/rooms/{r - 1}") for r, entry in enumerate(document["rooms"], 1)]
    if reader.faults:
        raise Invalid(reader.faults)
    return Surveyed(tuple(rooms), reader.ids, reader.pointers)


def made_id(takeoff_id: UUID, place: str) -> UUID:
    """The id of what had none in its survey."""
    return uuid5(takeoff_id, place)


class _Reader:
    """Walks the document; `faults` collects what is wrong with it."""

    def __init__(self, takeoff_id: UUID) -> None:
        self._takeoff_id = takeoff_id
        self.faults: list[Fault] = []
        self.ids: dict[str, str] = {}
        self.pointers: dict[str, str] = {}
        self._given: dict[UUID, str] = {}

    def room(self, entry: Json, r: int, at: str) -> Room:
        values = self._values(entry, ResourceKind.ROOM, room_place(r), at, "walls")
        walls = [self._wall(wall, values, r, w, f"{at}/walls/{w - 1}") for w, wall in _listed(entry, "walls")]
        return Room(
            walls=tuple(walls),
            closed=values["closed"],
            floor=Construction(values["floor"]),
            ceiling=Construction(values["ceiling"]),
        )

    def _wall(self, entry: Json, room: Json, r: int, w: int, at: str) -> Wall:
        values = self._values(entry, ResourceKind.WALL, wall_place(r, w), at, "openings", "features")
        openings = [self._opening(o, opening_place(r, w, k), f"{at}/openings/{k - 1}") for k, o in _listed(entry, "openings")]
        features = [self._feature(f, feature_place(r, w, k), f"{at}/features/{k - 1}") for k, f in _listed(entry, "features")]
        heights = {
            name: room["ceiling_height_mm"] if values[name] is None else values[name]
            for name in ("height_left_mm", "height_right_mm")
        }
        plain = (
            "length_mm",
            "floor_left_mm",
            "floor_right_mm",
            "lined",
            "corner_deg",
            "thickness_mm",
            "proud_mm",
            "frame_offset_mm",
        )
        return Wall(
            **{name: values[name] for name in plain},
            **heights,
            substrate=Substrate(values["substrate"]),
            openings=tuple(openings),
            features=tuple(features),
        )

    def _opening(self, entry: Json, place: str, at: str) -> Opening:
        values = self._values(entry, ResourceKind.OPENING, place, at)
        plain = ("offset_mm", "width_mm", "sill_mm", "height_mm", "reveal_depth_mm", "board_sill", "frame_margin_mm")
        return Opening(kind=OpeningKind(values["kind"]), **{name: values[name] for name in plain})

    def _feature(self, entry: Json, place: str, at: str) -> Feature:
        values = self._values(entry, ResourceKind.FEATURE, place, at)
        plain = ("x_mm", "y_mm", "width_mm", "height_mm", "mass_kg")
        return Feature(kind=FeatureKind(values["kind"]), **{name: values[name] for name in plain})

    def _values(self, entry: Json, kind: ResourceKind, place: str, at: str, *lists: str) -> dict[str, Any]:
        """The row's members with defaults; and notes what its place is called."""
        own = {name: value for name, value in entry.items() if name not in ("id", *lists)}
        values = FORMS[kind].read({"position": 0, **own}, at, self.faults)
        self.ids[place] = str(self._id(entry.get("id"), place, at))
        self.pointers[place] = at
        return values

    def _id(self, given: Any, place: str, at: str) -> UUID:
        if given is None:
            return made_id(self._takeoff_id, place)
        id = as_id(given)
        if id is None:
            self.faults.append(Fault(f"{at}/id", "Must be a UUID.", "wrong_type"))
            return self._takeoff_id
        if id in self._given:
            self.faults.append(Fault(f"{at}/id", f"This id is given to {self._given[id]} already.", "id_twice"))
        self._given[id] = at
        return id


def _listed(entry: Json, name: str) -> Iterator[tuple[int, Json]]:
    return enumerate(entry.get(name) or (), 1)
