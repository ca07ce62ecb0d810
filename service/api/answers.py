"""Finished answers. Documents are dumped as they are: the schemas describe them, and tests hold them to it.

Dumping through marshmallow costs more than everything else a request does, and an answer is made by us: it needs no checking on
every request, only in the tests.
"""

from collections.abc import Callable, Mapping
from typing import Any

import orjson
from flask import Response, request

from service.api.conditional import etag, is_known


def json_answer(document: Any, status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """`document` as JSON; UUIDs become text."""
    return Response(orjson.dumps(document), status, dict(headers or {}), content_type="application/json")


def versioned(version: Any, document: Callable[[], Any], status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """An answer with its ETag, or 304 where the caller already has it; `document` is made only when it is needed."""
    with_tag = {"ETag": etag(version), **(headers or {})}
    if request.method in ("GET", "HEAD") and is_known(with_tag["ETag"]):
        return Response(status=304, headers=with_tag)
    return json_answer(document(), status, with_tag)


def nothing() -> Response:
    return Response(status=204)
