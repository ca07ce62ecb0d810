"""What there is to know about each stored kind to test its six verbs: paths, bodies, a change, the default that null restores."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Kind:
    """`change`: a patch; `reset`: a member whose null gives `reset_to`; `parent`: the member that names the parent in a PUT."""

    name: str
    collection: str
    single: str
    body: dict[str, Any]
    change: dict[str, Any]
    reset: str
    reset_to: Any
    parent: str | None = None
    unique: dict[str, Any] = field(default_factory=dict)

    def put_body(self, ids: dict[str, str], **changes: Any) -> dict[str, Any]:
        return {**self.body, **({self.parent: ids[self.parent]} if self.parent else {}), **changes}


KINDS = [
    Kind("project", "/v1/projects", "/v1/projects/{id}", {"name": "Flat 3", "repeat": 2}, {"notes": "Damp."}, "repeat", 1),
    Kind(
        "specification", "/v1/specifications", "/v1/specifications/{id}", {"name": "At 400", "stud_centres_mm": 400},
        {"stud_centres_mm": 300}, "stud_centres_mm", 600,
    ),
    Kind("catalogue", "/v1/catalogues", "/v1/catalogues/{id}", {"name": "Range", "currency": "EUR"}, {"name": "Other"},
         "name", None),
    Kind(
        "item", "/v1/catalogues/{catalogue_id}/items", "/v1/catalogues/{catalogue_id}/items/{id}",
        {"sku": "INV-7", "component": "sealant", "pack_size": 12, "price": {"amount": "3.10", "currency": "GBP"}},
        {"on_hand": 4}, "pack_size", 1,
    ),
    Kind(
        "offcut", "/v1/offcuts", "/v1/offcuts/{id}",
        {"component": "plasterboard", "length_mm": 1300, "width_mm": 700, "thickness_mm": 12.5, "note": "Behind the door"},
        {"length_mm": 1250}, "note", None,
    ),
    Kind(
        "material", "/v1/materials", "/v1/materials/{id}",
        {"name": "Invented wool", "conductivity_w_mk": 0.035, "mu_dry": 1, "certainty": "read"}, {"conductivity_w_mk": 0.032},
        "certainty", None,
    ),
    Kind(
        "room", "/v1/projects/{project_id}/rooms", "/v1/rooms/{id}", 
        {"name": "Loft", "ceiling_height_mm": 2300, "floor": "concrete"}, {"storey": "second"}, "floor", "timber", "project_id",
    ),
    Kind(
        "wall", "/v1/rooms/{room_id}/walls", "/v1/walls/{id}", {"length_mm": 3100, "corner_deg": 270, "height_left_mm": 0},
        {"length_mm": 3105}, "corner_deg", 90, "room_id",
    ),
    Kind(
        "opening", "/v1/walls/{wall_id}/openings", "/v1/openings/{id}",
        {"kind": "door", "offset_mm": 3000, "width_mm": 800, "sill_mm": -20, "height_mm": 2050, "reveal_depth_mm": 90},
        {"width_mm": 780}, "reveal_depth_mm", 0, "wall_id",
    ),
    Kind(
        "feature", "/v1/walls/{wall_id}/features", "/v1/features/{id}",
        {"kind": "radiator", "x_mm": 1800, "y_mm": 400, "width_mm": 1000, "mass_kg": 22.5}, {"y_mm": 420}, "mass_kg", None,
        "wall_id",
    ),
]  # fmt: skip
