"""An engine result as JSON-ready parts, with places where ids belong: they are filled in when a takeoff is answered."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

import orjson

from service.engine.inputs import TakeoffInput
from service.engine.order_results import Takeoff
from service.engine.recipe import ENGINE_VERSION, item_order
from service.engine.results import Finding
from service.snapshots.build_up import heat_inputs_document
from service.snapshots.flat import flat_cut_list_document
from service.snapshots.heat import cautions_document, thermal_parts
from service.snapshots.layouts import features, layout_document, members_of, openings
from service.snapshots.money import money
from service.snapshots.offcuts import OFFCUT_MEMBERS, offcuts_document
from service.snapshots.orders import cut_list_document, line_document
from service.snapshots.places import Json, offcut_place, opening_place, room_place, wall_place


@dataclass(frozen=True, slots=True)
class Snapshot:
    """`summary`: totals and findings. `parts`: JSON text by part and key.

    The key is a wall's place for `layouts`, a component for `schedule`, a component or `component/room` for `cut_lists`, what
    `thermal_parts` says for `thermal`, empty for `cautions`, `inputs` and for `offcuts`, what a confirmation needs to know.
    """

    engine_version: str
    summary: Json
    parts: Mapping[tuple[str, str], bytes]


def encode(inputs: TakeoffInput, takeoff: Takeoff) -> Snapshot:
    """Equal inputs give equal bytes: members stand in a fixed order, positions are shown to 0.1 mm, money is decimal text."""
    parts: dict[tuple[str, str], Json] = {("inputs", ""): _inputs(inputs)}
    for line in takeoff.schedule:
        parts["schedule", line.component.value] = line_document(line, inputs.currency)
    for cut_list in takeoff.cut_lists:
        key = cut_list.component.value if cut_list.room is None else f"{cut_list.component}/{cut_list.room}"
        parts["cut_lists", key] = cut_list_document(cut_list, inputs.currency)
    for flat in takeoff.flat_cut_lists:
        key = flat.component.value if flat.room is None else f"{flat.component}/{flat.room}"
        parts["cut_lists", key] = flat_cut_list_document(flat, inputs.currency)
    parts["offcuts", ""] = offcuts_document(takeoff)
    for layout in takeoff.layouts:
        parts["layouts", wall_place(layout.room, layout.wall)] = layout_document(layout, inputs.rooms[layout.room - 1])
    for key, thermal in thermal_parts(takeoff.heat).items():
        parts["thermal", key] = thermal
    parts["cautions", ""] = cautions_document(takeoff.cautions)
    totals = takeoff.totals
    summary = {
        "totals": {
            "rooms": totals.rooms,
            "lined_area_m2": totals.lined_area_m2,
            "floor_area_lost_m2": totals.floor_area_lost_m2,
            "mass_kg": totals.mass_kg,
            "unweighed": list(totals.unweighed),
            "net_price": money(totals.net_price_minor, inputs.currency),
            "unpriced": list(totals.unpriced),
        },
        "findings": [finding_document(found) for found in takeoff.findings],
    }
    return Snapshot(ENGINE_VERSION, summary, {key: orjson.dumps(part) for key, part in parts.items()})


def finding_document(found: Finding) -> Json:
    room, wall, opening = found.room, found.wall, found.opening
    return {
        "code": found.code,
        "severity": found.severity,
        "message": found.message,
        "room_id": None if room is None else room_place(room),
        "wall_id": None if room is None or wall is None else wall_place(room, wall),
        "opening_id": None if room is None or wall is None or opening is None else opening_place(room, wall, opening),
        "component": found.component,
    }


def _inputs(inputs: TakeoffInput) -> Json:
    """Everything the answer depends on, as it was used."""
    return {
        "engine_version": ENGINE_VERSION,
        "survey": {
            "rooms": [
                {
                    "id": room_place(r),
                    **members_of(room, "walls"),
                    "walls": [
                        {
                            "id": wall_place(r, w),
                            **members_of(wall, "openings", "features"),
                            "openings": openings(r, w, wall),
                            "features": features(r, w, wall),
                        }
                        for w, wall in enumerate(room.walls, 1)
                    ],
                }
                for r, room in enumerate(inputs.rooms, 1)
            ]
        },
        "parameters": {field.name: getattr(inputs.parameters, field.name) for field in fields(inputs.parameters)},
        "components": {role.value: inputs.components[role] for role in sorted(inputs.components)},
        "items": [
            {**members_of(item, "price_minor"), "price": money(item.price_minor, inputs.currency)}
            for item in sorted(inputs.items, key=item_order)
        ],
        "offcuts": [
            {"id": offcut_place(n), **{name: getattr(offcut, name) for name in OFFCUT_MEMBERS}}
            for n, offcut in enumerate(sorted(inputs.offcuts, key=item_order), 1)
        ],
        **heat_inputs_document(inputs.heat),
        "options": {
            "pool": inputs.options.pool,
            "kerf_mm": inputs.options.kerf_mm,
            "allowances": {component.value: percent for component, percent in sorted(inputs.options.allowances.items())},
        },
    }
