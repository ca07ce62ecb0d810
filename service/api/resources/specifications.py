"""Lining specifications."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.specifications import Specification
from service.vocabulary import ResourceKind

specifications = Blueprint("Specifications", "How linings are set out: parameters with defaults of the trade.")

Stored(
    kind=ResourceKind.SPECIFICATION,
    shapes=Specification,
    nouns=("specification", "specifications"),
    collection="/v1/specifications",
    single="/v1/specifications/<uuid:specification_id>",
    example=examples.SPECIFICATION,
    sent=examples.SPECIFICATION_SENT,
    patched={"stud_centres_mm": 300},
    deletes="Its id stays deleted. One that a project uses is kept (409).",
).add_to(specifications)
