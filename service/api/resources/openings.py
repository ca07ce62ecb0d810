"""Openings in a wall."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.survey import Opening
from service.vocabulary import ResourceKind

openings = Blueprint("Openings", "Windows, doors, plain openings and hearths.")

Stored(
    kind=ResourceKind.OPENING,
    shapes=Opening,
    nouns=("opening", "openings"),
    collection="/v1/walls/<uuid:wall_id>/openings",
    single="/v1/openings/<uuid:opening_id>",
    parent="wall_id",
    example=examples.OPENING,
    sent=examples.OPENING_SENT,
    patched={"sill_mm": 850},
).add_to(openings)
