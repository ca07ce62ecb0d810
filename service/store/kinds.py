"""How the stored kinds hang together: which table, which parent, which children, which root counts their writes."""

from dataclasses import dataclass

from service.store.models import (
    Catalogue,
    CatalogueItem,
    Feature,
    Material,
    Offcut,
    Opening,
    Project,
    Room,
    Root,
    Specification,
    Versioned,
    Wall,
)
from service.vocabulary import ResourceKind as K


@dataclass(frozen=True, slots=True)
class Kind:
    """`parent_id` and `root_id` are the names of columns; a root has neither. `unique`: a member that no two siblings share."""

    model: type[Versioned]
    parent: K | None = None
    parent_id: str | None = None
    root: K | None = None
    root_id: str | None = None
    children: tuple[K, ...] = ()
    unique: str | None = None
    by_position: bool = False
    deletes_children: bool = True

    @property
    def name(self) -> str:
        """In a sentence."""
        return self.model.resource_kind.replace("_", " ")


KINDS: dict[K, Kind] = {
    K.SPECIFICATION: Kind(Specification),
    K.CATALOGUE: Kind(Catalogue, children=(K.CATALOGUE_ITEM,)),
    K.CATALOGUE_ITEM: Kind(CatalogueItem, K.CATALOGUE, "catalogue_id", K.CATALOGUE, "catalogue_id", unique="sku"),
    K.OFFCUT: Kind(Offcut),
    K.MATERIAL: Kind(Material),
    K.PROJECT: Kind(Project, children=(K.ROOM,), unique="reference"),
    K.ROOM: Kind(Room, K.PROJECT, "project_id", K.PROJECT, "project_id", (K.WALL,), None, True, False),
    K.WALL: Kind(Wall, K.ROOM, "room_id", K.PROJECT, "project_id", (K.OPENING, K.FEATURE), None, True, False),
    K.OPENING: Kind(Opening, K.WALL, "wall_id", K.PROJECT, "project_id", by_position=True),
    K.FEATURE: Kind(Feature, K.WALL, "wall_id", K.PROJECT, "project_id", by_position=True),
}

ROOTS: dict[K, type[Root]] = {
    K.SPECIFICATION: Specification,
    K.CATALOGUE: Catalogue,
    K.PROJECT: Project,
    K.OFFCUT: Offcut,
    K.MATERIAL: Material,
}
SURVEY_KINDS = (K.PROJECT, K.ROOM, K.WALL, K.OPENING, K.FEATURE)
"""Parents first. An id stands for one thing among these."""
