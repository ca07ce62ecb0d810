"""Walls of a room."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.queries import DeleteQuery
from service.api.schemas.survey import Wall
from service.vocabulary import ResourceKind

walls = Blueprint("Walls", "The walls of a room, left to right while facing them from inside.")

Stored(
    kind=ResourceKind.WALL,
    shapes=Wall,
    nouns=("wall", "walls"),
    collection="/v1/rooms/<uuid:room_id>/walls",
    single="/v1/walls/<uuid:wall_id>",
    parent="room_id",
    example=examples.WALL,
    sent=examples.WALL_SENT,
    patched={"length_mm": 4215},
    delete_query=DeleteQuery,
    deletes="Its id stays deleted. A wall that has openings or features needs `?with_children=true`.",
).add_to(walls)
