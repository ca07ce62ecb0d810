"""The invented front room taken off again without its window, beside the first takeoff, cut down to its U-section channel.

Head and sill trim of 1500 go: 11.4 m become 8.4 m, two floor and two ceiling channels of 3000 and 1200, so three bars of 3 m with
0.6 m left over instead of four; the wall is 1.2 × 1.2 more to line.
"""

from typing import Any

from service.api.examples import OPENING_ID, OTHER_ID, ROOM_ID, TAKEOFF_ID, WALL_ID
from service.api.takeoff_examples import SUMMARY

Json = dict[str, Any]


def _pair(before: float | None, after: float | None) -> Json:
    known = before is not None and after is not None
    return {"before": before, "after": after, "difference": round(after - before, 3) if known else None}


def _side(takeoff_id: str, **changed: Any) -> Json:
    told = {name: SUMMARY[name] for name in ("digest", "engine_version", "created_at", "inputs")}
    return {"takeoff_id": takeoff_id, **told, **changed}


_UNPRICED: Json = _pair(None, None)
_CHANNEL: Json = {"component": "u_channel", "unit": "m", "unit_code": "MTR"}
_BAR: Json = {"sku": None, "stock_length_mm": 3000, "length_mm": 3000, "width_mm": None}

COMPARISON: Json = {
    "equal": False,
    "before": _side(TAKEOFF_ID),
    "after": _side(
        OTHER_ID,
        digest="sha256:0b4c6d8e0f1a3b55e1f0b7c2d9a4e68b1c3d5f7a9e0b2c4d6f8a1b3c5d7e9f0a",
        created_at="2031-05-07T14:10:00.000000Z",
        inputs={**SUMMARY["inputs"], "survey_version": 42},
    ),
    "totals": {
        "rooms": _pair(1, 1),
        "lined_area_m2": _pair(9.9, 11.34),
        "floor_area_lost_m2": _pair(0.472, 0.472),
        "mass_kg": _pair(27.324, 26.184),
        "net_price": _UNPRICED,
    },
    "settings": [],
    "lines": [
        {
            **_CHANNEL,
            "description": "U-section channel",
            "net_quantity": _pair(11.4, 8.4),
            "unsupplied_quantity": _pair(0, 0),
            "waste_quantity": _pair(0, 0),
            "reusable_quantity": _pair(0.6, 0.6),
            "allowance_quantity": _pair(0, 0),
            "spare_quantity": _pair(0, 0),
            "ordered_quantity": _pair(12.0, 9.0),
            "from_offcuts_quantity": _pair(0, 0),
            "mass_kg": _pair(4.56, 3.42),
            "line_price": _UNPRICED,
            "order": [
                {
                    **_BAR,
                    "needed": _pair(4, 3),
                    "allowance": _pair(0, 0),
                    "packs": _pair(4, 3),
                    "quantity": _pair(4, 3),
                    "unit_price": _UNPRICED,
                    "price": _UNPRICED,
                }
            ],
        }
    ],
    "adds": [],
    "saves": [{"component": "u_channel", **_BAR, "quantity": 1, "price": None}],
    "walls": {
        "added": [],
        "removed": [],
        "changed": [
            {
                "room_id": ROOM_ID,
                "wall_id": WALL_ID,
                "members": [],
                "openings": {"added": [], "removed": [{"opening_id": OPENING_ID, "kind": "window"}], "changed": []},
                "features": {"added": [], "removed": [], "changed": []},
                "quantities": [{**_CHANNEL, **_pair(11.4, 8.4)}],
            }
        ],
    },
}
