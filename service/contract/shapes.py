"""Two shapes: what callers send may be taken more freely, what they are answered may become more exact or gain members."""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any

from service.contract.rules import Change

Json = Mapping[str, Any]

TOLD = {"title", "description", "example", "examples", "deprecated", "readOnly", "writeOnly"}
LOWER = ("minimum", "exclusiveMinimum", "minLength", "minItems", "minProperties")
UPPER = ("maximum", "exclusiveMaximum", "maxLength", "maxItems", "maxProperties")
FORMS = {"pattern": "B15", "format": "B15", "multipleOf": "B14", "uniqueItems": "B14"}
"""Keywords that hold or do not, each with the rule for one that requests newly have to fit."""

HERE = {"$ref", "type", "enum", "default", "properties", "required", "additionalProperties", "items", "anyOf"}
KNOWN = {*TOLD, *LOWER, *UPPER, *FORMS, *HERE}

EVERY_TYPE = frozenset({"object", "array", "string", "number", "integer", "boolean", "null"})
REFERENCE = "#/components/schemas/"


def unknown(was: Json, now: Json, known: set[str], where: str) -> Iterator[Change]:
    """What differs beyond the keywords that rules are about. Extensions (`x-…`) ask nothing of a caller."""
    for name in sorted((was.keys() | now.keys()) - known):
        if was.get(name) != now.get(name) and not name.startswith("x-"):
            yield Change("B25", where, f"{name} was {was.get(name)}, is {now.get(name)}")


class Side(StrEnum):
    """Which way a value travels."""

    SENT = "in requests"
    ANSWERED = "in answers"


class Shapes:
    """The named shapes of both documents. Each pair is compared once a side, however often it is met."""

    def __init__(self, old: Json, new: Json) -> None:
        self._old, self._new = old, new
        self._compared: set[tuple[str, str, Side]] = set()

    def compare(self, was: Json, now: Json, side: Side, where: str) -> Iterator[Change]:
        """The differences between two schemas at one place."""
        yield from _kinds(_kinds_of(was, self._old), _kinds_of(now, self._new), side, where)
        was, now = _without_null(was), _without_null(now)
        old_name, new_name = (schema.get("$ref", "").removeprefix(REFERENCE) for schema in (was, now))
        if old_name != new_name:
            yield Change("B23", where, f"was {old_name or 'nameless'}, is {new_name or 'nameless'}")
        if old_name or new_name:
            if (old_name, new_name, side) in self._compared:
                return
            self._compared.add((old_name, new_name, side))
        was, now = self._old.get(old_name, was), self._new.get(new_name, now)
        yield from self._contents(was, now, side, f"{old_name} {side}" if old_name else where)

    def _contents(self, was: Json, now: Json, side: Side, where: str) -> Iterator[Change]:
        yield from _words(was, now, side, where)
        yield from _bounds(was, now, side, where)
        if side is Side.SENT:
            old, new = (schema.get("default", "not told") for schema in (was, now))
            if old != new:
                yield Change("B17" if "default" in was else None, where, f"default was {old}, is {new}")
            if (was.get("additionalProperties") is False) != (now.get("additionalProperties") is False):
                is_closed = now.get("additionalProperties") is False
                yield Change("B13" if is_closed else None, where, "newly closed" if is_closed else "newly open")
        yield from unknown(was, now, KNOWN, where)
        if _choices(was) != _choices(now):
            yield Change("B25", where, "anyOf is another")
        yield from self._members(was, now, side, where)
        if "items" in was or "items" in now:
            yield from self.compare(was.get("items", {}), now.get("items", {}), side, f"{where}[]")

    def _members(self, was: Json, now: Json, side: Side, where: str) -> Iterator[Change]:
        old, new = was.get("properties", {}), now.get("properties", {})
        old_needed, new_needed = set(was.get("required", ())), set(now.get("required", ()))
        for name in old:
            place = _member(where, name)
            if name not in new:
                yield Change("B11" if side is Side.SENT else "B18", place, "gone")
                continue
            if name in new_needed - old_needed:
                yield Change("B12" if side is Side.SENT else None, place, "newly required")
            if name in old_needed - new_needed:
                yield Change("B19" if side is Side.ANSWERED else None, place, "no longer required")
            yield from self.compare(old[name], new[name], side, place)
        for name in new:
            if name not in old:
                is_needed = side is Side.SENT and name in new_needed
                yield Change("B12" if is_needed else None, _member(where, name), "new" + " and required" * is_needed)


def _member(where: str, name: str) -> str:
    """`Wall in answers` → `Wall.length_mm in answers`."""
    for side in Side:
        if where.endswith(f" {side}"):
            return f"{where.removesuffix(f' {side}')}.{name} {side}"
    return f"{where}.{name}"


def _kinds(was: frozenset[str], now: frozenset[str], side: Side, where: str) -> Iterator[Change]:
    lost = sorted(kind for kind in was - now if not (kind == "integer" and "number" in now))
    gained = sorted(kind for kind in now - was if not (kind == "integer" and "number" in was))
    if side is Side.SENT and lost:
        yield Change("B13", where, f"no longer takes {', '.join(lost)}")
    elif side is Side.ANSWERED and gained:
        yield Change("B20", where, f"may be {', '.join(gained)}")
    elif was != now:
        yield Change(None, where, f"was {' or '.join(sorted(was))}, is {' or '.join(sorted(now))}")


def _words(was: Json, now: Json, side: Side, where: str) -> Iterator[Change]:
    old, new = (None if "enum" not in schema else [word for word in schema["enum"] if word is not None] for schema in (was, now))
    if old == new:
        return
    if side is Side.SENT:
        lost = ["any other word"] if old is None else [word for word in old if new is not None and word not in new]
        rule, text = "B16", f"no longer takes {', '.join(map(str, lost))}"
        breaks = bool(lost)
    else:
        gained = ["any other word"] if new is None else [word for word in new if old is not None and word not in old]
        rule, text = "B21", f"may be {', '.join(map(str, gained))}"
        breaks = bool(gained)
    yield Change(rule, where, text) if breaks else Change(None, where, f"words were {old}, are {new}")


def _bounds(was: Json, now: Json, side: Side, where: str) -> Iterator[Change]:
    tighter, looser = ("B14", None) if side is Side.SENT else (None, "B22")
    for keyword in (*LOWER, *UPPER):
        old, new = was.get(keyword), now.get(keyword)
        if old != new:
            is_tighter = old is None or (new is not None and (new > old if keyword in LOWER else new < old))
            yield Change(tighter if is_tighter else looser, where, f"{keyword} was {old}, is {new}")
    for keyword, narrower in FORMS.items():
        old, new = was.get(keyword), now.get(keyword)
        if old != new:
            is_free = new is None if side is Side.SENT else old is None
            rule = None if is_free else narrower if side is Side.SENT else "B22"
            yield Change(rule, where, f"{keyword} was {old}, is {new}")


def _kinds_of(schema: Json, shapes: Json) -> frozenset[str]:
    """The types of value that the schema lets through."""
    if "$ref" in schema:
        return _kinds_of(shapes[schema["$ref"].removeprefix(REFERENCE)], shapes)
    if "anyOf" in schema:
        return frozenset().union(*(_kinds_of(choice, shapes) for choice in schema["anyOf"]))
    kinds = schema.get("type")
    if kinds is None:
        return EVERY_TYPE
    return frozenset([kinds] if isinstance(kinds, str) else kinds)


def _without_null(schema: Json) -> Json:
    """`anyOf` of one thing and null is that thing; null is among its types."""
    choices = _choices(schema)
    return choices[0] if len(choices) == 1 else schema


def _choices(schema: Json) -> list[Json]:
    return [choice for choice in schema.get("anyOf", ()) if choice != {"type": "null"}]
