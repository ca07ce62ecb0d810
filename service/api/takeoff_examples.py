"""The takeoff of the invented front room (`service.api.examples`), with the built-in range, cut down to its U-section channel.

The wall is 4200 long with one window 1200 wide, so: floor and ceiling channel 3000 + 1200 each, head and sill trim
1200 + 2 × 150 each; 11.4 m in four bars of 3 m, of which 0.6 m is left and worth keeping.
"""

from typing import Any

from service.api.examples import (
    CLIMATE,
    OPENING_ID,
    PROJECT_ID,
    ROOM_ID,
    SPECIFICATION_ID,
    SURVEY,
    SURVEY_SENT,
    TAKEOFF_ID,
    WALL_ID,
)
from service.engine.parameters import PARAMETER_FIELDS
from service.vocabulary import ROLE_COMPONENTS

Json = dict[str, Any]

INLINE_SENT: Json = {
    "survey": SURVEY_SENT,
    "specification": {"stud_centres_mm": 400, "target_u_value_w_m2k": 0.3},
    "climate": CLIMATE,
    "options": {"pool": "project", "kerf_mm": 0},
}
PROJECT_SENT: Json = {"survey_version": 41, "options": {"kerf_mm": 3, "allowances": {"c_stud": 5}, "offcuts": True}}

_MADE: Json = {
    "id": TAKEOFF_ID,
    "status": "succeeded",
    "digest": "sha256:5e1f0b7c2d9a4e68b1c3d5f7a9e0b2c4d6f8a1b3c5d7e9f0a2b4c6d8e0f1a3b5",
    "engine_version": "5",
    "created_at": "2031-05-06T09:00:00.000000Z",
}
_TOTALS: Json = {
    "rooms": 1,
    "lined_area_m2": 9.9,
    "mass_kg": 27.324,
    "unweighed": [],
    "net_price": None,
    "unpriced": ["c_stud", "u_channel"],
    "floor_area_lost_m2": 0.472,
}
_FINDING: Json = {
    "code": "nib_packer",
    "severity": "warning",
    "message": "The window stands 30 mm from the frame's end: no stud fits, a bonded packer carries the board edge.",
    "room_id": ROOM_ID,
    "wall_id": WALL_ID,
    "opening_id": OPENING_ID,
    "component": None,
}
_NOTHING_STORED: Json = {
    "project_id": None,
    "survey_version": None,
    "specification_id": None,
    "specification_version": None,
    "catalogue_id": None,
    "catalogue_version": None,
}

SUMMARY: Json = {
    **_MADE,
    "inputs": {
        **_NOTHING_STORED,
        "project_id": PROJECT_ID,
        "survey_version": 41,
        "specification_id": SPECIFICATION_ID,
        "specification_version": 3,
    },
    "options": {"pool": "project", "kerf_mm": 3, "allowances": {"c_stud": 5}, "offcuts": True},
    "totals": _TOTALS,
}
TAKEOFF: Json = {**SUMMARY, "findings": [_FINDING]}
INLINE_TAKEOFF: Json = {
    **TAKEOFF,
    "inputs": _NOTHING_STORED,
    "options": {"pool": "project", "kerf_mm": 0, "allowances": {}, "offcuts": False},
}


def _derived(rule: str, role: str, length_mm: int, number: int) -> Json:
    return {
        "rules": [rule],
        "role": role,
        "terms": f"1 × {length_mm} mm",
        "count": 1,
        "quantity": length_mm / 1000,
        "length_mm": length_mm,
        "room_id": ROOM_ID,
        "wall_id": WALL_ID,
        "members": [f"1/1/{role}-{number:02d}"],
    }


SCHEDULE: Json = {
    "lines": [
        {
            "component": "u_channel",
            "description": "U-section channel",
            "unit": "m",
            "unit_code": "MTR",
            "net_quantity": 11.4,
            "unsupplied_quantity": 0,
            "waste_quantity": 0,
            "reusable_quantity": 0.6,
            "allowance_quantity": 0,
            "spare_quantity": 0,
            "ordered_quantity": 12.0,
            "from_offcuts_quantity": 0,
            "mass_kg": 4.56,
            "line_price": None,
            "order": [
                {
                    "sku": None,
                    "description": None,
                    "stock_length_mm": 3000,
                    "length_mm": 3000,
                    "width_mm": None,
                    "needed": 4,
                    "allowance": 0,
                    "pack_size": 1,
                    "packs": 4,
                    "quantity": 4,
                    "unit_price": None,
                    "price": None,
                }
            ],
            "rooms": [{"room_id": ROOM_ID, "net_quantity": 11.4}],
            "derivation": [
                _derived("C1", "floor_channel", 3000, 1),
                _derived("C1", "floor_channel", 1200, 2),
                _derived("C1", "ceiling_channel", 3000, 1),
                _derived("C1", "ceiling_channel", 1200, 2),
                _derived("C3", "head_trim", 1500, 1),
                _derived("C3", "sill_trim", 1500, 1),
            ],
        }
    ]
}


def _cut(role: str, number: int, length_mm: int, **shape: Any) -> Json:
    label = f"1/1/{role}-{number:02d}"
    place = {"room_id": ROOM_ID, "wall_id": WALL_ID}
    return {"label": label, "member_id": label, "role": role, "length_mm": length_mm, **shape, **place}


def _bar(number: int, pattern: int, cuts: list[Json], remainder_mm: int = 0) -> Json:
    return {
        "bar": number,
        "pattern": pattern,
        "stock_length_mm": 3000,
        "sku": None,
        "from_offcut_id": None,
        "cuts": cuts,
        "remainder_mm": remainder_mm,
        "reusable": remainder_mm >= 600,
    }


_FOLDS: Json = {"fold_marks_mm": [150, 1350]}

CUT_LISTS: Json = {
    "bars": [
        {
            "component": "u_channel",
            "room_id": None,
            "objective": "length",
            "kerf_mm": 0,
            "status": "optimal",
            "lower_bound": {"stock_mm": 12000},
            "used": {"stock_mm": 12000},
            "certificate": {
                "values": [
                    {"length_mm": 3000, "value": 3145728000},
                    {"length_mm": 1500, "value": 1572864000},
                    {"length_mm": 1200, "value": 1572864000},
                ],
                "scale": 1048576,
                "proves": {"stock_mm": 12000},
            },
            "bars": [
                _bar(1, 1, [_cut("floor_channel", 1, 3000)]),
                _bar(2, 1, [_cut("ceiling_channel", 1, 3000)]),
                _bar(3, 2, [_cut("head_trim", 1, 1500, **_FOLDS), _cut("sill_trim", 1, 1500, **_FOLDS)]),
                _bar(4, 3, [_cut("floor_channel", 2, 1200), _cut("ceiling_channel", 2, 1200)], 600),
            ],
            "unplaced": [],
        }
    ],
    "sheets": [
        {
            "component": "plasterboard",
            "room_id": None,
            "objective": "count",
            "status": "optimal",
            "bound": "any_packing",
            "lower_bound": {"count": 1},
            "used": {"count": 1},
            "sheets": [
                {
                    "sheet": 1,
                    "pattern": 1,
                    "width_mm": 1200,
                    "length_mm": 2700,
                    "sku": None,
                    "from_offcut_id": None,
                    "cuts": [{"x_mm": 600.0, "y_mm": 0.0, "direction": "along", "length_mm": 2700.0}],
                    "pieces": [
                        {
                            "label": "1/1/board-01",
                            "piece_id": "1/1/board-01",
                            "x_mm": 0.0,
                            "y_mm": 0.0,
                            "width_mm": 600.0,
                            "length_mm": 2690.0,
                            "turned": False,
                            "cut_outs": [],
                            "room_id": ROOM_ID,
                            "wall_id": WALL_ID,
                        }
                    ],
                    "remainders": [{"x_mm": 600.0, "y_mm": 0.0, "width_mm": 600.0, "length_mm": 2700.0, "reusable": True}],
                }
            ],
            "unplaced": [],
        }
    ],
    "rolls": [],
}

_WALL: Json = SURVEY["rooms"][0]["walls"][0]


def _member(role: str, component: str, x_mm: float, y_mm: float, length_mm: int, direction: str, rule: str, **more: Any) -> Json:
    label = f"1/1/{role}-01"
    place = {"x_mm": x_mm, "y_mm": y_mm, "length_mm": length_mm, "direction": direction}
    return {"id": label, "label": label, "role": role, "component": component, **place, **more, "rules": [rule]}


def _flat(role: str, component: str, at: tuple[float, float], size: tuple[float, float], rules: list[str], **more: Any) -> Json:
    label = f"1/1/{role}-01"
    return {
        "id": label,
        "label": label,
        "role": role,
        "component": component,
        "x_mm": at[0],
        "y_mm": at[1],
        "width_mm": size[0],
        "length_mm": size[1],
        "layer": 1,
        "height_left_mm": size[1],
        "height_right_mm": size[1],
        "cut_outs": [],
        "area_m2": round(size[0] * size[1] / 1e6, 6),
        **more,
        "rules": rules,
    }


def _measured(row: Json) -> Json:
    return {name: value for name, value in row.items() if name not in ("position", "name")}


LAYOUT: Json = {
    "room_id": ROOM_ID,
    "wall_id": WALL_ID,
    "label": "1/1",
    "wall": {"length_mm": 4200, "height_left_mm": 2700, "height_right_mm": 2700, "floor_left_mm": 0, "floor_right_mm": 0},
    "frame": {
        "x0_mm": 0.0,
        "x1_mm": 4200.0,
        "channel_x0_mm": 0.0,
        "channel_x1_mm": 4200.0,
        "finished_x0_mm": 0.0,
        "finished_x1_mm": 4200.0,
        "offset_mm": 100.0,
        "finished_face_mm": 112.5,
        "left": "unlined_wall",
        "right": "unlined_wall",
        "right_runs_through": False,
    },
    "members": [
        _member("end_stud", "c_stud", 24.0, 0.0, 2690, "up", "S1"),
        _member("floor_channel", "u_channel", 0.0, 0.0, 3000, "along", "C1"),
        _member("head_trim", "u_channel", 1050.0, 2100.0, 1500, "along", "C3", **_FOLDS),
    ],
    "brackets": [
        {
            "id": "1/1/bracket-01",
            "x_mm": 24.0,
            "y_mm": 1300.0,
            "member_id": "1/1/end_stud-01",
            "rail_id": "1/1/rail-01",
            "projection_mm": 60.0,
            "rules": ["R4"],
        }
    ],
    "fixings": [
        {
            "component": "timber_fixing",
            "role": "floor_channel",
            "count": 6,
            "terms": "ceil(3000 / 600) + 1",
            "members": ["1/1/floor_channel-01"],
            "rules": ["X1"],
        }
    ],
    "boards": [_flat("board", "plasterboard", (0.0, 10.0), (600.0, 2690.0), ["B1", "B2", "B3"])],
    "reveals": [_flat("reveal_head", "insulated_laminate", (1200.0, 2100.0), (250.0, 1200.0), ["B5"], opening_id=OPENING_ID)],
    "insulation": [_flat("insulation", "insulation_roll", (0.0, 0.0), (1200.0, 2715.0), ["I1", "I2"])],
    "membrane": [_flat("membrane_drop", "vcl_membrane", (0.0, 0.0), (1500.0, 2750.0), ["M1"])],
    "usages": [
        {
            "component": "board_screw",
            "where": "boards to the frame",
            "quantity": 20.0,
            "unit": "pcs",
            "unit_code": "C62",
            "terms": "10 + 10",
            "layer": 1,
            "members": ["1/1/board-01"],
            "rules": ["B6"],
        }
    ],
    "junctions": [
        {"kind": "ceiling", "fixing": "timber fixing", "seal": "sealant", "trim": "joint tape", "opening_id": None},
        {"kind": "head", "fixing": "head trim", "seal": "lap tape", "trim": "corner bead", "opening_id": OPENING_ID},
    ],
    "openings": [_measured(_WALL["openings"][0])],
    "features": [_measured(_WALL["features"][0])],
}
LAYOUTS: Json = {"layouts": [LAYOUT]}

INPUTS: Json = {
    "engine_version": "5",
    "survey": {
        "rooms": [
            {
                "id": ROOM_ID,
                "closed": False,
                "floor": "timber",
                "ceiling": "timber",
                "walls": [
                    {
                        **_measured(_WALL),
                        "height_left_mm": 2700,
                        "height_right_mm": 2700,
                        "openings": LAYOUT["openings"],
                        "features": LAYOUT["features"],
                    }
                ],
            }
        ]
    },
    "parameters": {name: f.default for name, f in PARAMETER_FIELDS.items()},
    "components": {role.value: component.value for role, component in ROLE_COMPONENTS.items()},
    "items": [
        {
            "component": "u_channel",
            "sku": None,
            "description": None,
            "length_mm": 3000,
            "width_mm": None,
            "thickness_mm": None,
            "pack_size": 1,
            "price": None,
            "mass_kg": 1.14,
            "on_hand": None,
            "yield_per_piece": None,
        }
    ],
    "offcuts": [],
    "build_up": None,
    "target_u_value_w_m2k": 0.3,
    "critical_temperature_factor": None,
    "climate": None,
    "humidity_class": None,
    "year_built": None,
    "options": {"pool": "project", "kerf_mm": 0, "allowances": {}},
}
