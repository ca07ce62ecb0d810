"""Materials, standard ones and the account's own."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any
from uuid import UUID

from flask import Response

from service.api import examples
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.paging import page_answer
from service.api.resources.stored import Stored
from service.api.schemas.materials import Material, MaterialsQuery
from service.usecases.list_materials import list_materials
from service.vocabulary import ResourceKind

materials = Blueprint(
    "Materials",
    "Design values for heat and vapour with their source and how sure they are: standard ones, read-only, and your own. A "
    "build-up names one by its id, a standard one also by its code.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Materials(Stored):
    """A stored resource whose list goes on to what every account has."""

    def _list(self, query: Mapping[str, Any] | None = None, **ids: UUID) -> Response:
        query = query or {}
        fetch = partial(list_materials, database(), account_id())
        return page_answer(query, fetch, self._shown, standard=query.get("standard"))


Materials(
    kind=ResourceKind.MATERIAL,
    shapes=Material,
    nouns=("material", "materials"),
    collection="/v1/materials",
    single="/v1/materials/<uuid:material_id>",
    example=examples.MATERIAL,
    sent=examples.MATERIAL_SENT,
    patched={"conductivity_w_mk": 0.034},
    list_query=MaterialsQuery,
    deletes="Its id stays deleted. One that a specification's build-up names is kept (409), and so is a standard one.",
).add_to(materials)
