"""From a stored result to an answer: parts put together in their order, ids in the place of places."""

from collections.abc import Iterable, Mapping
from typing import Any

import orjson

from service.snapshots.places import in_survey_order
from service.vocabulary import ROLL_COMPONENTS, SHEET_COMPONENTS, Component

ID_SLOTS = frozenset({"room_id", "wall_id", "opening_id", "feature_id", "from_offcut_id"})
CUT_LISTS = {
    "bars": frozenset(Component) - SHEET_COMPONENTS - ROLL_COMPONENTS,
    "sheets": SHEET_COMPONENTS,
    "rolls": ROLL_COMPONENTS,
}
"""Which components each kind of cut list is of."""


def document(part: str, bodies: Iterable[tuple[str, bytes]], ids: Mapping[str, str]) -> dict[str, Any]:
    """A whole part as it is answered: `schedule`, `cut_lists`, `layouts`, `thermal`, `cautions` or `inputs`.

    `bodies`: key and JSON text of each stored piece, in any order. `ids`: place → id.

    Raises:
        KeyError: no such part, or a place without an id.
    """
    if part == "thermal":
        return _thermal({key: fill(orjson.loads(body), ids) for key, body in bodies})
    pieces = [fill(orjson.loads(body), ids) for _, body in sorted(bodies, key=lambda piece: _order(piece[0]))]
    if part == "schedule":
        return {"lines": pieces}
    if part == "cut_lists":
        return {kind: [piece for piece in pieces if piece["component"] in of] for kind, of in CUT_LISTS.items()}
    if part == "layouts":
        return {"layouts": pieces}
    if part in ("inputs", "cautions"):
        return dict(pieces[0])
    raise KeyError(part)


def _thermal(pieces: Mapping[str, Any]) -> dict[str, Any]:
    """Walls, rooms and constructions in their order, then the whole."""
    kinds: dict[str, list[str]] = {"": [], "room": [], "moisture": []}
    for key in sorted(pieces, key=in_survey_order):
        if key != "whole":
            kinds[key.split("/")[0] if key[0].isalpha() else ""].append(key)
    walls, rooms, moistures = ([pieces[key] for key in keys] for keys in kinds.values())
    whole = pieces["whole"]
    return {
        "build_up_given": whole["build_up_given"],
        "walls": walls,
        "rooms": rooms,
        "total": whole["total"],
        "moisture": moistures,
        "steps": whole["steps"],
        "limits": whole["limits"],
    }


def fill(value: Any, ids: Mapping[str, str]) -> Any:
    """A copy with ids in the slots of `ID_SLOTS`, and in the `id` of whatever is named by its place.

    Members and brackets keep theirs: `1/2/stud-03` is an id and a label at once.
    """
    if isinstance(value, dict):
        return {key: _filled(key, entry, ids) for key, entry in value.items()}
    if isinstance(value, list):
        return [fill(entry, ids) for entry in value]
    return value


def _filled(key: str, entry: Any, ids: Mapping[str, str]) -> Any:
    if key in ID_SLOTS:
        return None if entry is None else ids[entry]
    if key == "id":
        return ids.get(entry, entry)
    return fill(entry, ids)


def _order(key: str) -> tuple[int, tuple[int, ...]]:
    """Components in the order of the vocabulary, then places in survey order."""
    component, _, place = key.partition("/")
    if component in RANK:
        return RANK[component], in_survey_order(place)
    return 0, in_survey_order(key)


RANK = {component.value: rank for rank, component in enumerate(Component)}
