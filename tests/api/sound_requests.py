"""What makes a request good beyond what a schema can say: ids that exist, surveys that can be built, settings that fit."""

import uuid
from collections.abc import Mapping
from typing import Any

from service.engine.parameters import PARAMETER_FIELDS, Parameters

Json = dict[str, Any]

CURRENCY = "GBP"
"""Of a catalogue for which nobody chose another."""

SIZES = {"length_mm": 2400, "width_mm": 1200}
"""What is cut needs them."""


def sound(case: Any, ids: Mapping[str, str], survey: Json) -> None:
    """Changes a case of schemathesis that fits the document into one that the service must not refuse as invalid."""
    if case.query:
        case.query = {name: value for name, value in case.query.items() if name not in ("cursor", "since")}
    if "Idempotency-Key" in (case.headers or {}):
        case.headers["Idempotency-Key"] = str(uuid.uuid4())  # one that was sent with another body is refused
    if isinstance(case.body, dict):
        case.body = _sound_body(case.operation.label, case.body, ids, survey)


def _sound_body(operation: str, body: Json, ids: Mapping[str, str], survey: Json) -> Json:
    made = {name: ids[name] if name in ids and value is not None else value for name, value in body.items()}
    if made.get("price"):
        made["price"] = {**made["price"], "currency": CURRENCY}
    if made.get("expires_at"):
        made["expires_at"] = "2900-01-01T00:00:00Z"
    if "/items" in operation:
        made |= {size: made.get(size) or usual for size, usual in SIZES.items()}
    if "/offcuts" in operation and "component" in made:
        made |= {"component": "c_stud", "length_mm": made.get("length_mm") or 1400, "width_mm": None}
    if "/materials" in operation:
        made |= {"conductivity_w_mk": made.get("conductivity_w_mk") or 0.035, "sd_m": None}
    if "build_up" in made:
        made["build_up"] = [{"name": "Invented board", "thickness_mm": 12.5, "conductivity_w_mk": 0.2}, {"wall": True}]
    if "/offcuts" in operation and "component" not in made:
        made.pop("width_mm", None)  # of a bar
    made = _without_ids(made)
    made.pop("climate", None)  # one of two members, and twelve months of one or the other
    if operation.endswith("/takeoffs"):
        made.pop("survey_version", None)
        made |= {"survey": survey} if "survey" in made else {}
        if "offcuts" in made.get("options", {}):
            made["options"] = {**made["options"], "offcuts": [ids["offcut_id"]]}
        if "specification" in made:
            made["specification"] = _fitting(
                {name: value for name, value in made["specification"].items() if name not in ("components", "build_up")}
            )
    if "specifications" in operation:
        made = {**(dict.fromkeys(PARAMETER_FIELDS) if operation.startswith("PATCH") else {}), **_fitting(made)}
    return made


def _without_ids(body: Json) -> Json:
    """Its survey's rows are new ones: an id that is given again stands elsewhere or in another project by then."""

    def new(rows: list[Any]) -> list[Any]:
        return [
            {name: new(value) if isinstance(value, list) else value for name, value in row.items() if name != "id"}
            for row in rows
        ]

    if isinstance(body.get("survey"), dict):
        return {**body, "survey": _without_ids(body["survey"])}
    return {**body, "rooms": new(body["rooms"])} if isinstance(body.get("rooms"), list) else body


def _fitting(specification: Json) -> Json:
    """Without the parameters that do not go together with the others."""
    kept: Json = {}
    for name, value in specification.items():
        if name not in PARAMETER_FIELDS or value is None:
            continue
        try:
            Parameters(**{**kept, name: value})
        except ValueError:
            continue
        kept[name] = value
    return {**{name: value for name, value in specification.items() if name not in PARAMETER_FIELDS or value is None}, **kept}
