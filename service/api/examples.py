"""The examples of the document: one invented scenario, told once. House, measurements, article numbers and prices are made up.

A small end-of-terrace house has its front room lined: one wall with one window. Figures of takeoffs stand in
`service.api.takeoff_examples`.
"""

from typing import Any

from service.engine.parameters import PARAMETER_FIELDS
from service.vocabulary import ROLE_COMPONENTS

Json = dict[str, Any]

_STAMPS: Json = {"created_at": "2031-05-06T08:30:00.000000Z", "updated_at": "2031-05-06T08:45:12.500000Z"}


def example_id(number: int) -> str:
    return f"01980c5e-7a00-7000-8000-{number:012d}"


ACCOUNT_ID, KEY_ID = example_id(1), example_id(2)
SPECIFICATION_ID, CATALOGUE_ID, ITEM_ID = example_id(3), example_id(4), example_id(5)
PROJECT_ID, ROOM_ID, WALL_ID = example_id(10), example_id(11), example_id(12)
OPENING_ID, FEATURE_ID, TAKEOFF_ID, OTHER_ID = example_id(13), example_id(14), example_id(20), example_id(21)
OFFCUT_ID = example_id(30)
MATERIAL_ID = example_id(40)

ACCOUNT: Json = {"id": ACCOUNT_ID, "name": "Invented Linings", "created_at": _STAMPS["created_at"]}

KEY_SENT: Json = {"name": "Site tablet", "scopes": ["read", "write", "takeoff"], "expires_at": "2032-01-01T00:00:00Z"}
KEY: Json = {
    "id": KEY_ID,
    "name": "Site tablet",
    "prefix": "invented",
    "scopes": ["read", "write", "takeoff"],
    "created_at": _STAMPS["created_at"],
    "expires_at": "2032-01-01T00:00:00.000000Z",
    "revoked_at": None,
    "last_used_at": None,
    "former": [],
}
KEY_MADE: Json = {**KEY, "secret": "invented.not-a-real-secret"}
KEY_ROTATED: Json = {
    **KEY_MADE,
    "prefix": "anew",
    "former": [{"prefix": "invented", "expires_at": "2031-05-03T08:30:00.000000Z"}],
    "secret": "anew.not-a-real-secret-either",
}

SPECIFICATION_SENT: Json = {
    "name": "Outer walls, 400 centres",
    "stud_centres_mm": 400,
    "components": {"joint_strap": "u_channel"},
    "build_up": [
        {"material_id": "plasterboard", "thickness_mm": 12.5},
        {"material_id": "polyethylene_0_15", "membrane": True},
        {"material_id": "air_layer", "thickness_mm": 20, "name": "Air around the frame"},
        {"material_id": "mineral_wool", "thickness_mm": 80, "conductivity_w_mk": 0.035, "source": "invented declared value"},
        {"material_id": "dense_plaster", "thickness_mm": 13, "existing": True},
        {"wall": True},
    ],
    "target_u_value_w_m2k": 0.3,
}
SPECIFICATION: Json = {
    "id": SPECIFICATION_ID,
    "version": 3,
    "name": "Outer walls, 400 centres",
    **{name: f.default for name, f in PARAMETER_FIELDS.items()},
    "stud_centres_mm": 400,
    "components": {role.value: component.value for role, component in ROLE_COMPONENTS.items()},
    "build_up": SPECIFICATION_SENT["build_up"],
    "target_u_value_w_m2k": 0.3,
    "critical_temperature_factor": None,
    **_STAMPS,
}

CATALOGUE_SENT: Json = {"name": "Counter range", "currency": "GBP"}
CATALOGUE: Json = {"id": CATALOGUE_ID, "version": 9, **CATALOGUE_SENT, **_STAMPS}

ITEM_SENT: Json = {
    "sku": "INV-3000",
    "component": "c_stud",
    "description": "Invented C-section, 3 m",
    "length_mm": 3000,
    "pack_size": 10,
    "price": {"amount": "4.35", "currency": "GBP"},
    "mass_kg": 1.74,
    "on_hand": 120,
}
ITEM: Json = {
    "id": ITEM_ID,
    "version": 9,
    "catalogue_id": CATALOGUE_ID,
    **ITEM_SENT,
    "width_mm": None,
    "thickness_mm": None,
    "yield_per_piece": None,
    **_STAMPS,
}

MATERIAL_SENT: Json = {
    "name": "Invented mineral wool roll",
    "conductivity_w_mk": 0.035,
    "density_kg_m3": 18,
    "mu_dry": 1,
    "source": "Declared value of an invented product",
}
MATERIAL: Json = {
    "id": MATERIAL_ID,
    "version": 1,
    **MATERIAL_SENT,
    "specific_heat_j_kgk": None,
    "mu_wet": None,
    "sd_m": None,
    "thickness_mm": None,
    "certainty": None,
    "note": None,
    "standard": False,
    "code": None,
    **_STAMPS,
}

OFFCUT_SENT: Json = {"component": "u_channel", "length_mm": 1400, "note": "Yard, short rack"}
OFFCUT: Json = {
    "id": OFFCUT_ID,
    "version": 1,
    "component": "u_channel",
    "sku": None,
    "length_mm": 1400,
    "width_mm": None,
    "thickness_mm": None,
    "note": "Yard, short rack",
    "state": "available",
    "takeoff_id": None,
    "from_takeoff_id": None,
    **_STAMPS,
}
CONFIRMATION: Json = {
    "takeoff_id": TAKEOFF_ID,
    "confirmed_at": "2031-05-06T09:20:00.000000Z",
    "reserved": [OFFCUT_ID],
    "made": [example_id(31), example_id(32)],
}

CLIMATE: Json = {
    "outside": [
        {"temperature_c": temperature, "humidity_percent": humidity}
        for temperature, humidity in zip(
            (3.5, 4, 6, 8.5, 12, 15, 17, 16.5, 14, 10.5, 6.5, 4.5), (88, 86, 82, 78, 76, 76, 76, 78, 81, 85, 87, 89), strict=True
        )
    ],
    "humidity_class": 3,
    "inside_temperature_c": 20,
    "source": "Invented: no such place.",
}

PROJECT_SENT: Json = {
    "reference": "INV-2031-017",
    "name": "End house, front room",
    "specification_id": SPECIFICATION_ID,
    "catalogue_id": CATALOGUE_ID,
    "repeat": 1,
    "notes": "Invented: no such house.",
    "climate": CLIMATE,
    "year_built": 1905,
}
PROJECT: Json = {"id": PROJECT_ID, "version": 1, **PROJECT_SENT, **_STAMPS}

ROOM_SENT: Json = {"name": "Front room", "storey": "ground", "ceiling_height_mm": 2700}
ROOM: Json = {
    "id": ROOM_ID,
    "version": 38,
    "project_id": PROJECT_ID,
    "position": 1,
    **ROOM_SENT,
    "closed": False,
    "floor": "timber",
    "ceiling": "timber",
    **_STAMPS,
}

WALL_SENT: Json = {"name": "Street wall", "length_mm": 4200, "substrate": "solid_brick", "thickness_mm": 225}
WALL: Json = {
    "id": WALL_ID,
    "version": 39,
    "room_id": ROOM_ID,
    "position": 1,
    **WALL_SENT,
    "height_left_mm": None,
    "height_right_mm": None,
    "floor_left_mm": 0,
    "floor_right_mm": 0,
    "lined": True,
    "corner_deg": 90,
    "proud_mm": 0,
    "frame_offset_mm": None,
    **_STAMPS,
}

OPENING_SENT: Json = {
    "kind": "window",
    "name": "Sash window",
    "offset_mm": 1200,
    "width_mm": 1200,
    "sill_mm": 900,
    "height_mm": 1200,
    "reveal_depth_mm": 150,
    "board_sill": True,
}
OPENING: Json = {
    "id": OPENING_ID,
    "version": 40,
    "wall_id": WALL_ID,
    "position": 1,
    **OPENING_SENT,
    "frame_margin_mm": None,
    **_STAMPS,
}

FEATURE_SENT: Json = {"kind": "socket", "x_mm": 400, "y_mm": 450}
FEATURE: Json = {
    "id": FEATURE_ID,
    "version": 41,
    "wall_id": WALL_ID,
    "position": 1,
    "name": None,
    **FEATURE_SENT,
    "width_mm": None,
    "height_mm": None,
    "mass_kg": None,
    **_STAMPS,
}

SURVEY_SENT: Json = {
    "rooms": [{**ROOM_SENT, "walls": [{**WALL_SENT, "openings": [OPENING_SENT], "features": [FEATURE_SENT]}]}],
}


def _within(row: Json, parent: str) -> Json:
    return {name: value for name, value in row.items() if name not in ("version", parent, *_STAMPS)}


SURVEY: Json = {
    "version": 41,
    "rooms": [
        {
            **_within(ROOM, "project_id"),
            "walls": [
                {
                    **_within(WALL, "room_id"),
                    "openings": [_within(OPENING, "wall_id")],
                    "features": [_within(FEATURE, "wall_id")],
                }
            ],
        }
    ],
    "findings": [],
}

CHANGES: Json = {
    "changes": [
        {"type": "wall", "id": WALL_ID, "version": 39, "deleted": False, "data": WALL},
        {"type": "feature", "id": OTHER_ID, "version": 42, "deleted": True, "data": None},
    ],
    "next_token": "WyIwMTk4MGM1ZSIsNDIsNDJd",
    "has_more": False,
    "survey_version": 42,
}

_PUT_SOCKET: Json = {"wall_id": WALL_ID, "kind": "socket", "x_mm": 2900, "y_mm": 450}
MUTATIONS: Json = {
    "mutations": [
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a01",
            "type": "feature",
            "id": example_id(30),
            "op": "put",
            "base_version": None,
            "data": _PUT_SOCKET,
        },
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a02",
            "type": "wall",
            "id": WALL_ID,
            "op": "patch",
            "base_version": 36,
            "data": {"length_mm": 4180},
        },
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a03",
            "type": "feature",
            "id": OTHER_ID,
            "op": "delete",
            "base_version": 42,
            "data": None,
        },
    ]
}
MUTATION_RESULTS: Json = {
    "results": [
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a01",
            "type": "feature",
            "id": example_id(30),
            "status": "applied",
            "version": 43,
            "deleted": False,
            "data": {**FEATURE, **_PUT_SOCKET, "id": example_id(30), "version": 43, "position": 2},
        },
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a02",
            "type": "wall",
            "id": WALL_ID,
            "status": "conflict",
            "server": {"type": "wall", "id": WALL_ID, "version": 39, "deleted": False, "data": WALL},
            "members": ["length_mm"],
            "newer": [],
        },
        {
            "mutation_id": "9d1f0f3e-5c4b-4a57-9e0c-3b1f5f8f0a03",
            "type": "feature",
            "id": OTHER_ID,
            "status": "duplicate",
            "first_status": "applied",
            "version": 42,
            "deleted": True,
            "data": None,
        },
    ]
}
