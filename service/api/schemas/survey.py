"""A survey: rooms, walls, openings and features, one by one and as one document.

Lengths are whole mm, angles degrees. Every number's range is the one its column is kept in.
"""

from collections.abc import Mapping
from functools import partial
from typing import Any

import marshmallow as ma

from service.api.fields import Between, Flag, Id, Int, Length, ListOf, Num, Part, Str, UpTo, Word
from service.api.schemas.family import Answer, Member, Members, Request, answered, family
from service.api.schemas.findings import Finding
from service.vocabulary import Construction, FeatureKind, OpeningKind, Substrate

GREATEST_LENGTH_MM = 100_000

_name = Member(make=partial(Str, validate=Length(1, 200)), text="What people call it.", nullable=True, default=None)
GREATEST_POSITION = 1e9
"""Of those a caller may give; what is kept may lie further out, so that there is always room after the last."""


def _position_field(**kwargs: Any) -> ma.fields.Field[Any]:
    if kwargs.get("dump_only"):
        return Num(**kwargs)
    return Num(validate=Between(-GREATEST_POSITION, GREATEST_POSITION), **kwargs)


_position = Member(
    make=_position_field,
    text="Sorts it among its siblings, smallest first, ties by id. Left out: after the last. The server never renumbers.",
)


def length(least: int = 1, most: int = GREATEST_LENGTH_MM) -> Any:
    return partial(Int, validate=Between(least, most))


level = length(-GREATEST_LENGTH_MM)

ROOM: Members = {
    "position": _position,
    "name": _name,
    "storey": Member(make=partial(Str, validate=Length(1, 100)), text="The storey it is on.", nullable=True, default=None),
    "ceiling_height_mm": Member(
        make=length(), text="Floor to ceiling, from the room's level line; walls may have heights of their own.", required=True
    ),
    "closed": Member(make=Flag, text="Whether the last wall joins the first.", default=False),
    "floor": Member(make=partial(Word, Construction), text="What the floor is made of.", default="timber"),
    "ceiling": Member(make=partial(Word, Construction), text="What the ceiling is made of.", default="timber"),
}

WALL: Members = {
    "position": _position,
    "name": _name,
    "length_mm": Member(make=length(), text="Between its masonry corners.", required=True),
    "height_left_mm": Member(
        make=length(0), text="Floor to ceiling at its left-hand end; left out or null: the room's.", nullable=True, default=None
    ),
    "height_right_mm": Member(
        make=length(0), text="Floor to ceiling at its right-hand end; left out or null: the room's.", nullable=True, default=None
    ),
    "floor_left_mm": Member(
        make=level, text="How far the floor lies above the room's level line at the left-hand end.", default=0
    ),
    "floor_right_mm": Member(
        make=level, text="How far the floor lies above the room's level line at the right-hand end.", default=0
    ),
    "lined": Member(make=Flag, text="Whether it gets a lining. An unlined wall still counts for geometry.", default=True),
    "corner_deg": Member(
        make=partial(Num, validate=Between(30, 330)),
        text="Interior angle at its right-hand end, degrees: 90 is an internal corner, 270 an external one.",
        default=90,
    ),
    "substrate": Member(make=partial(Word, Substrate), text="What it is made of.", default="solid_brick"),
    "thickness_mm": Member(make=partial(Num, validate=Between(1, 10_000)), text="Thickness of the masonry.", default=225),
    "proud_mm": Member(
        make=length(0, 1000), text="How far its proudest point stands out; the frame is offset from that point.", default=0
    ),
    "frame_offset_mm": Member(
        make=length(20, 1000),
        text="A frame offset of its own; left out or null: the specification's.",
        nullable=True,
        default=None,
    ),
}

OPENING: Members = {
    "position": _position,
    "kind": Member(make=partial(Word, OpeningKind), text="What it is. A hearth gets no reveal lining.", required=True),
    "name": _name,
    "offset_mm": Member(make=length(0), text="From the wall's left-hand corner to the left reveal edge.", required=True),
    "width_mm": Member(make=length(), text="Between the reveals.", required=True),
    "sill_mm": Member(
        make=level, text="Height of its lower edge above the level line; negative where the floor lies lower.", required=True
    ),
    "height_mm": Member(make=length(), text="From its lower to its upper edge.", required=True),
    "reveal_depth_mm": Member(make=length(0), text="From the masonry face to the frame of the window or door.", default=0),
    "board_sill": Member(make=Flag, text="Whether there is a sill to be boarded.", default=False),
    "frame_margin_mm": Member(
        make=length(0, 1000), text="How much of the window frame a reveal lining may cover.", nullable=True, default=None
    ),
}

FEATURE: Members = {
    "position": _position,
    "kind": Member(make=partial(Word, FeatureKind), text="What it is.", required=True),
    "name": _name,
    "x_mm": Member(make=length(0), text="From the wall's left-hand corner to its centre.", required=True),
    "y_mm": Member(make=level, text="Height of its centre above the level line.", required=True),
    "width_mm": Member(make=length(), text="Its width, where it matters.", nullable=True, default=None),
    "height_mm": Member(make=length(), text="Its height, where it matters.", nullable=True, default=None),
    "mass_kg": Member(
        make=partial(Num, validate=Between(0, 10_000)), text="Its mass, where it hangs on the wall.", nullable=True, default=None
    ),
}

Room, Wall, Opening, Feature = (
    family("Room", "A room of a project's survey", ROOM, parent="project_id"),
    family("Wall", "A wall of a room", WALL, parent="room_id"),
    family("Opening", "A window, door, plain opening or hearth in a wall", OPENING, parent="wall_id"),
    family("Feature", "Something on a wall that the lining has to mind", FEATURE, parent="wall_id"),
)


def _node(name: str, text: str, members: Members, **children: tuple[type[ma.Schema], str, str]) -> type[ma.Schema]:
    """One row within a survey document. `children`: list member → (schema, setting that bounds it, text)."""
    lists: Mapping[str, Any] = {
        member: ListOf(Part(schema), validate=UpTo(setting), metadata={"description": words})
        for member, (schema, setting, words) in children.items()
    }
    own_id = Id(metadata={"description": "Its id. Left out: a new one is made."})
    fields = {key: member.field() for key, member in members.items()}
    return type(name, (Request,), {"__doc__": text, "id": own_id, **fields, **lists})


FeatureInSurvey = _node("FeatureInSurvey", "A feature where it stands in a survey.", FEATURE)
OpeningInSurvey = _node("OpeningInSurvey", "An opening where it stands in a survey.", OPENING)
WallInSurvey = _node(
    "WallInSurvey",
    "A wall where it stands in a survey.",
    WALL,
    openings=(OpeningInSurvey, "openings_per_wall", "Its openings, left to right."),
    features=(FeatureInSurvey, "features_per_wall", "Its features."),
)
RoomInSurvey = _node(
    "RoomInSurvey",
    "A room where it stands in a survey.",
    ROOM,
    walls=(WallInSurvey, "walls_per_room", "Its walls, going left to right while facing them from inside."),
)


class Survey(Request):
    """A whole survey in one document. The order of the lists is the order on site."""

    rooms = ListOf(
        Part(RoomInSurvey), required=True, validate=UpTo("rooms_per_survey"), metadata={"description": "Its rooms, in order."}
    )


class SurveyPut(Survey):
    """A whole survey: rows whose ids are given are kept, the others are made, what is left out is deleted.

    What a GET answered can be sent back: its other members are read and left aside.
    """

    version = Int(metadata={"readOnly": True, "description": "Left aside; If-Match says which version is replaced."})
    findings = ListOf(Part(Finding), validate=Length(max=10_000), metadata={"readOnly": True, "description": "Left aside."})

    @ma.post_load
    def rooms_alone(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        return {"rooms": data["rooms"]}


def read_node(name: str, text: str, members: Members, **children: type[ma.Schema]) -> type[ma.Schema]:
    """One row within an answered survey. `children`: list member → schema."""
    lists = {
        member: answered(partial(ListOf, Part(schema)), f"Its {member}, in order on site.") for member, schema in children.items()
    }
    fields = {key: member.in_answer() for key, member in members.items()}
    return type(name, (Answer,), {"__doc__": text, "id": answered(Id, "Its id."), **fields, **lists})


SurveyedFeature = read_node("SurveyedFeature", "A feature within a survey.", FEATURE)
SurveyedOpening = read_node("SurveyedOpening", "An opening within a survey.", OPENING)
SurveyedWall = read_node("SurveyedWall", "A wall within a survey.", WALL, openings=SurveyedOpening, features=SurveyedFeature)
SurveyedRoom = read_node("SurveyedRoom", "A room within a survey.", ROOM, walls=SurveyedWall)


class SurveyRead(Answer):
    """A project's whole survey, and what is already known to be wrong or worth knowing about it."""

    version = answered(Int, "The project's change counter; the ETag is made from it.")
    rooms = answered(partial(ListOf, Part(SurveyedRoom)), "Its rooms, in order on site.")
    findings = answered(partial(ListOf, Part(Finding)), "Geometry that a takeoff would refuse or remark on.")
