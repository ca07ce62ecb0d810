"""Where an answer leads: OpenAPI links from what was just made to every operation on it, worked out from the paths."""

import re
from collections.abc import Iterator
from typing import Any

Json = dict[str, Any]

_NAMES = re.compile(r"\{(\w+)\}")


def add_links(document: Json) -> None:
    """Adds to each answer that gives a resource its id: what can be done with that id, and with the ETag of that answer."""
    for path, item in document["paths"].items():
        for method in ("post", "put"):
            if method == "put" and not path.endswith("}") and "201" in item.get("put", {}).get("responses", {}):
                for status in ("200", "201"):
                    item["put"]["responses"][status]["links"] = _links_here(path, item)
                continue
            own = _own_id(document, path, method)
            if own is None or method not in item:
                continue
            for status, answer in item[method]["responses"].items():
                if status in ("200", "201"):
                    answer["links"] = dict(_links(document, path, own, has_etag="ETag" in answer["headers"]))


def _own_id(document: Json, path: str, method: str) -> str | None:
    """What paths call the id of the resource that an answer of this operation is; None where it is no such resource."""
    *before, last = path.split("/")
    if method == "put":
        return last.strip("{}") if last.startswith("{") else None
    singles = [other for other in document["paths"] if re.fullmatch(rf"(.*)/{re.escape(last)}/{{\w+}}", other)]
    beneath = "/".join([*before, last])
    single = next((other for other in singles if other.startswith(beneath)), None) or next(iter(singles), None)
    return None if single is None else single.rpartition("/")[2].strip("{}")


def _links(document: Json, made_at: str, own: str, *, has_etag: bool) -> Iterator[tuple[str, Json]]:
    known = set(_NAMES.findall(made_at)) - {own}
    for path, item in document["paths"].items():
        names = _NAMES.findall(path)
        if own not in names or not set(names) <= known | {own}:
            continue
        for method, operation in item.items():
            if method == "parameters":
                continue
            given = {name: "$response.body#/id" if name == own else f"$request.path.{name}" for name in names}
            if has_etag and path.endswith(f"{{{own}}}") and _needs_version(operation):
                given["header.If-Match"] = "$response.header.ETag"
            yield operation["operationId"], {"operationId": operation["operationId"], "parameters": given}


def _links_here(path: str, item: Json) -> Json:
    """From what has no id but its path to what else can be done there."""
    given = {name: f"$request.path.{name}" for name in _NAMES.findall(path)}
    operations = [operation["operationId"] for method, operation in item.items() if method != "parameters"]
    return {name: {"operationId": name, "parameters": given} for name in operations}


def _needs_version(operation: Json) -> bool:
    return any(parameter.get("$ref", "").endswith("/If-Match") for parameter in operation["parameters"])
