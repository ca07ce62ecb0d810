"""Two OpenAPI documents of this service: what differs, and by which rule it breaks callers."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.rules import Change
from service.contract.shapes import Shapes, Side, unknown

Json = Mapping[str, Any]

METHODS = ("get", "put", "post", "delete", "patch", "head", "options", "trace")
TOLD = {"summary", "description", "example", "examples", "externalDocs"}
"""For people; no program reads them."""
KNOWN = {
    "document": {"info", "tags", "paths", "components"},
    "operation": {*TOLD, "operationId", "tags", "security", "parameters", "requestBody", "responses", "deprecated"},
    "parameter": {*TOLD, "name", "in", "required", "schema", "shared"},
}


def differences(old: Json, new: Json) -> list[Change]:
    """Every difference between two documents, in their order; each once, however many operations share the shape it is in."""
    return list(_Documents(old, new).differences())


class _Documents:
    def __init__(self, old: Json, new: Json) -> None:
        self._old, self._new = old, new
        self._told_of: set[str] = set()
        self._shapes = Shapes(_shapes(old), _shapes(new))

    def differences(self) -> Iterator[Change]:
        yield from unknown(self._old, self._new, KNOWN["document"], "document")
        for path, was in self._old["paths"].items():
            now = self._new["paths"].get(path)
            if now is None:
                yield Change("B1", path, "gone")
                continue
            for method in METHODS:
                where = f"{method.upper()} {path}"
                if method in was and method not in now:
                    yield Change("B2", where, "gone")
                elif method in was:
                    yield from self._operation(where, _with_shared(was, method), _with_shared(now, method))
                elif method in now:
                    yield Change(None, where, "new")
        for path in self._new["paths"]:
            if path not in self._old["paths"]:
                yield Change(None, path, "new")
        yield from self._problems()

    def _operation(self, where: str, was: Json, now: Json) -> Iterator[Change]:
        for rule, name in (("B3", "operationId"), ("B4", "tags")):
            if was.get(name) != now.get(name):
                yield Change(rule, where, f"{name} was {was.get(name)}, is {now.get(name)}")
        if scopes := sorted(_scopes(now) - _scopes(was)):
            yield Change("B5", where, f"needs {', '.join(scopes)}")
        elif scopes := sorted(_scopes(was) - _scopes(now)):
            yield Change(None, where, f"no longer needs {', '.join(scopes)}")
        if bool(now.get("deprecated")) != bool(was.get("deprecated")):
            yield Change(None, where, "deprecated" if now.get("deprecated") else "no longer deprecated")
        yield from unknown(was, now, KNOWN["operation"], where)
        yield from self._parameters(where, _given(self._old, was), _given(self._new, now))
        yield from self._body(where, was.get("requestBody"), now.get("requestBody"))
        yield from self._answers(where, was["responses"], now["responses"])

    def _parameters(self, operation: str, was: Mapping[Any, Json], now: Mapping[Any, Json]) -> Iterator[Change]:
        for key, parameter in was.items():
            where = parameter.get("shared") or f"{operation} {' '.join(key)}"
            if key not in now:
                yield Change("B9", f"{operation} {' '.join(key)}", "gone")
            elif where not in self._told_of:
                if "shared" in parameter:
                    self._told_of.add(where)
                other = now[key]
                yield from _requirement(parameter, other, where)
                yield from unknown(parameter, other, KNOWN["parameter"], where)
                yield from self._shapes.compare(parameter["schema"], other["schema"], Side.SENT, where)
        for key, parameter in now.items():
            if key not in was:
                required = bool(parameter.get("required"))
                yield Change("B10" if required else None, f"{operation} {' '.join(key)}", "new" + " and required" * required)

    def _body(self, operation: str, was: Json | None, now: Json | None) -> Iterator[Change]:
        where = f"{operation} body"
        yield from _requirement(was or {}, now or {}, where)
        yield from self._content(where, (was or {}).get("content", {}), (now or {}).get("content", {}), Side.SENT)

    def _answers(self, operation: str, was: Json, now: Json) -> Iterator[Change]:
        for status, answer in was.items():
            where = f"{operation} {status}"
            if status not in now:
                yield Change("B6", where, "gone")
                continue
            old, new = _resolved(self._old, answer), _resolved(self._new, now[status])
            for kind in ("headers", "links"):
                had, has = old.get(kind, {}), new.get(kind, {})
                yield from (Change("B8", f"{where} {name}", f"gone from the {kind}") for name in had if name not in has)
                yield from (Change(None, f"{where} {name}", f"new among the {kind}") for name in has if name not in had)
            yield from self._content(where, old.get("content", {}), new.get("content", {}), Side.ANSWERED)
        for status in now:
            if status not in was:
                yield Change("B6" if status.startswith("2") else None, f"{operation} {status}", "new")

    def _content(self, where: str, was: Json, now: Json, side: Side) -> Iterator[Change]:
        for media, content in was.items():
            if media in now:
                yield from self._shapes.compare(content["schema"], now[media]["schema"], side, where)
            else:
                yield Change("B7", f"{where} {media}", "gone")
        for media in now:
            if media not in was:
                yield Change(None, f"{where} {media}", "new")

    def _problems(self) -> Iterator[Change]:
        was, now = (document.get("x-problem-types", {}) for document in (self._old, self._new))
        for uri, kind in was.items():
            if uri not in now:
                yield Change("B24", uri, "gone")
                continue
            for name in ("status", "title"):
                if kind.get(name) != now[uri].get(name):
                    yield Change("B24", uri, f"{name} was {kind.get(name)}, is {now[uri].get(name)}")
        for uri in now:
            if uri not in was:
                yield Change(None, uri, "new")


def _requirement(was: Json, now: Json, where: str) -> Iterator[Change]:
    if bool(was.get("required")) != bool(now.get("required")):
        is_needed = bool(now.get("required"))
        yield Change("B10", where, "newly required") if is_needed else Change(None, where, "no longer required")


def _shapes(document: Json) -> Json:
    shapes: Json = document.get("components", {}).get("schemas", {})
    return shapes


def _with_shared(item: Json, method: str) -> dict[str, Any]:
    """The operation with the parameters that all of its path share."""
    operation = item[method]
    return {**operation, "parameters": [*item.get("parameters", ()), *operation.get("parameters", ())]}


def _given(document: Json, operation: Json) -> dict[tuple[str, str], Json]:
    """Parameters by place and name; `shared`: what one that many operations share is called."""
    given: dict[tuple[str, str], Json] = {}
    for parameter in operation["parameters"]:
        found = _resolved(document, parameter)
        shared = {"shared": f"parameter {found['name']}"} if "$ref" in parameter else {}
        given[found["in"], found["name"]] = {**found, **shared}
    return given


def _scopes(operation: Json) -> set[str]:
    return {scope for needed in operation.get("security", ()) for scopes in needed.values() for scope in (*scopes, "a key")}


def _resolved(document: Json, thing: Json) -> Json:
    found: Any = thing
    while "$ref" in found:
        steps = found["$ref"].removeprefix("#/").split("/")
        found = document
        for step in steps:
            found = found[step]
    resolved: Json = found
    return resolved
