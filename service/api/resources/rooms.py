"""Rooms of a project."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.queries import DeleteQuery
from service.api.schemas.survey import Room
from service.vocabulary import ResourceKind

rooms = Blueprint("Rooms", "The rooms of a project's survey.")

Stored(
    kind=ResourceKind.ROOM,
    shapes=Room,
    nouns=("room", "rooms"),
    collection="/v1/projects/<uuid:project_id>/rooms",
    single="/v1/rooms/<uuid:room_id>",
    parent="project_id",
    example=examples.ROOM,
    sent=examples.ROOM_SENT,
    patched={"name": "Front parlour"},
    delete_query=DeleteQuery,
    deletes="Its id stays deleted. A room that has walls needs `?with_children=true`.",
).add_to(rooms)
