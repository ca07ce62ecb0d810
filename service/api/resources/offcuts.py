"""Offcuts: pieces that are kept and can be cut from."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.offcuts import Offcut
from service.api.schemas.queries import OffcutsQuery
from service.vocabulary import ResourceKind

offcuts = Blueprint(
    "Offcuts", "Pieces left of earlier work, which takeoffs may be cut from; and takeoffs that are confirmed with them."
)

Stored(
    kind=ResourceKind.OFFCUT,
    shapes=Offcut,
    nouns=("offcut", "offcuts"),
    collection="/v1/offcuts",
    single="/v1/offcuts/<uuid:offcut_id>",
    example=examples.OFFCUT,
    sent=examples.OFFCUT_SENT,
    patched={"note": "Van, left-hand rack"},
    list_query=OffcutsQuery,
    deletes="Thrown away or used otherwise. Its id stays deleted. One that a takeoff holds is kept (409).",
).add_to(offcuts)
