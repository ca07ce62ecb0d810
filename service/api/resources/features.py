"""Features on a wall."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.survey import Feature
from service.vocabulary import ResourceKind

features = Blueprint("Features", "Sockets, switches, pipes, radiators, heavy items and vents.")

Stored(
    kind=ResourceKind.FEATURE,
    shapes=Feature,
    nouns=("feature", "features"),
    collection="/v1/walls/<uuid:wall_id>/features",
    single="/v1/features/<uuid:feature_id>",
    parent="wall_id",
    example=examples.FEATURE,
    sent=examples.FEATURE_SENT,
    patched={"y_mm": 460},
).add_to(features)
