"""Catalogues and their items."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.catalogues import Catalogue, Item
from service.api.schemas.queries import ItemsQuery
from service.vocabulary import ResourceKind

catalogues = Blueprint("Catalogues", "Ranges of things that can be bought.")
items = Blueprint("Catalogue items", "The things in a catalogue: sizes, packs, prices, stock on hand.")

Stored(
    kind=ResourceKind.CATALOGUE,
    shapes=Catalogue,
    nouns=("catalogue", "catalogues"),
    collection="/v1/catalogues",
    single="/v1/catalogues/<uuid:catalogue_id>",
    example=examples.CATALOGUE,
    sent=examples.CATALOGUE_SENT,
    patched={"name": "Counter range, spring"},
    deletes="With its items. Its id stays deleted. One that a project uses is kept (409).",
).add_to(catalogues)

Stored(
    kind=ResourceKind.CATALOGUE_ITEM,
    shapes=Item,
    nouns=("catalogue item", "catalogue items"),
    collection="/v1/catalogues/<uuid:catalogue_id>/items",
    single="/v1/catalogues/<uuid:catalogue_id>/items/<uuid:item_id>",
    example=examples.ITEM,
    sent=examples.ITEM_SENT,
    patched={"on_hand": 60},
    under=ResourceKind.CATALOGUE,
    list_query=ItemsQuery,
).add_to(items)
