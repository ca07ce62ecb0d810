"""Finished answers. Documents are dumped as they are: the schemas describe them, and tests hold them to it.

Dumping through marshmallow costs more than everything else a request does, and an answer is made by us: it needs no checking on
every request, only in the tests.
"""

import hashlib
from collections.abc import Callable, Mapping
from typing import Any

import orjson
from flask import Response, request

from service.api.conditional import etag, is_known
from service.api.problems import Refused


def json_answer(document: Any, status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """`document` as JSON; UUIDs become text."""
    return Response(orjson.dumps(document), status, dict(headers or {}), content_type="application/json")


def versioned(version: Any, document: Callable[[], Any], status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """An answer with its ETag, or 304 where the caller already has it; `document` is made only when it is needed."""
    with_tag = {"ETag": etag(version), **(headers or {})}
    return (not_modified(version) if status == 200 else None) or json_answer(document(), status, with_tag)


def marked(document: Any, headers: Mapping[str, str] | None = None) -> Response:
    """A GET's answer that has no version of its own, such as a page of a list: its ETag is the digest of what it says."""
    content = orjson.dumps(document)
    mark = hashlib.blake2b(content, digest_size=12).hexdigest()
    with_tag = {"ETag": etag(mark), **(headers or {})}
    return not_modified(mark) or Response(content, 200, with_tag, content_type="application/json")


def not_modified(version: Any) -> Response | None:
    """304 to a GET whose caller already has this version; None where the answer is to be made."""
    if request.method not in ("GET", "HEAD") or not is_known(etag(version)):
        return None
    return Response(status=304, headers={"ETag": etag(version)})


def tagged(version: Any, content: Callable[[], bytes], media: str) -> Response:
    """`versioned`, of another media type."""
    return not_modified(version) or Response(content(), 200, {"ETag": etag(version)}, content_type=media)


def chosen_media(format: str | None, offered: Mapping[str, str]) -> str:
    """The media type to answer in: that of `format`, or what `Accept` likes best; the first of `offered` where it does not care.

    Raises:
        Refused: nothing that is offered is accepted.
    """
    if format is not None:
        return offered[format]
    if not request.headers.get("Accept"):
        return next(iter(offered.values()))
    quality = {media: request.accept_mimetypes.quality(media) for media in offered.values()}
    best = max(quality, key=lambda media: quality[media])
    if not quality[best]:
        names = " or ".join(offered.values())
        raise Refused("not-acceptable", f"This can be given as {names}.", headers={"Vary": "Accept"})
    return best


def nothing() -> Response:
    answer = Response(status=204)
    del answer.headers["Content-Type"]  # of nothing
    return answer
