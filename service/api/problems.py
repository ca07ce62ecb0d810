"""Every answer that is a refusal: RFC 9457 problem details, one shape, whatever went wrong and wherever.

`PROBLEMS` is the closed list of `type` URIs; a program decides by `type`, a person reads `title` and `detail`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

import orjson
import structlog
from flask import Flask, Response, g, request
from werkzeug.exceptions import HTTPException

from service.errors import Fault, Invalid, Refusal

PROBLEM_JSON = "application/problem+json"

log = structlog.get_logger("service.api")


@dataclass(frozen=True, slots=True)
class Problem:
    """One kind of problem: its status, its unchanging title, and what it means for a caller."""

    status: int
    title: str
    meaning: str


PROBLEMS: dict[str, Problem] = {
    "malformed-request": Problem(400, "Malformed request", "The body is not JSON, or a cursor or header cannot be read."),
    "unauthenticated": Problem(401, "No valid key", "No API key was sent, or it is unknown, expired or revoked."),
    "forbidden": Problem(403, "Key lacks the scope", "The key is good, but its scopes do not allow this operation."),
    "not-found": Problem(404, "Not found", "There is no such path, or no such thing in this account."),
    "method-not-allowed": Problem(405, "Method not allowed", "The path exists but not with this method; see Allow."),
    "not-acceptable": Problem(406, "Not acceptable", "None of the media types in Accept can be given."),
    "conflict": Problem(409, "Conflict", "The state of things forbids it; detail says what stands in the way."),
    "bound-reached": Problem(
        409, "Bound reached", "There are as many of these beneath their parent as may be; `most` says how many that is."
    ),
    "request-in-progress": Problem(
        409,
        "Request in progress",
        "The same request, sent before with this Idempotency-Key, is still being worked on; see Retry-After.",
    ),
    "mutations-not-applied": Problem(
        409,
        "Mutations not applied",
        "With `atomic`, one mutation is a conflict or refused, so none was applied; `results` says what stands in the way.",
    ),
    "gone": Problem(410, "Gone", "It was deleted. A deleted id stays deleted."),
    "sync-token-expired": Problem(
        410, "Token too old", "Deletions since this token are no longer kept: read the whole project again, without a token."
    ),
    "precondition-failed": Problem(412, "Precondition failed", "The version in If-Match is no longer the latest: read again."),
    "payload-too-large": Problem(413, "Payload too large", "The body is larger than this service reads."),
    "unsupported-media-type": Problem(
        415, "Unsupported media type", "The body's Content-Type or Content-Encoding is not one this operation reads."
    ),
    "invalid-request": Problem(422, "Invalid request", "The content is wrong; `errors` lists every fault with its place."),
    "invalid-geometry": Problem(
        422,
        "Survey cannot be taken off",
        "The survey can be kept but not built; `errors` lists every fault with its place and ids.",
    ),
    "idempotency-key-reused": Problem(
        422,
        "Idempotency-Key used before",
        "The same Idempotency-Key came with another body or query; a new request needs a new key.",
    ),
    "precondition-required": Problem(
        428, "Precondition required", "Changing something that exists needs If-Match with the ETag that was read."
    ),
    "internal-error": Problem(500, "Internal error", "A defect of this service. Quote `request_id` when reporting it."),
    "unavailable": Problem(503, "Unavailable", "The service cannot do this just now; try again later."),
}

_BY_STATUS = {404: "not-found", 405: "method-not-allowed", 406: "not-acceptable", 413: "payload-too-large"} | {
    415: "unsupported-media-type",
    422: "invalid-request",
    503: "unavailable",
}


class Refused(Exception):
    """A refusal that only HTTP knows of: a header, a media type, a cursor."""

    def __init__(
        self, code: str, detail: str, errors: Iterable[Mapping[str, Any]] = (), headers: Mapping[str, str] | None = None
    ) -> None:
        super().__init__(detail)
        self.code, self.detail, self.errors, self.headers = code, detail, list(errors), headers or {}


def type_uri(code: str) -> str:
    """The `type` of a problem: a reference to its paragraph in this service's own reference page."""
    return f"/docs#{code}"


def problem(
    code: str,
    detail: str,
    errors: Iterable[Mapping[str, Any]] = (),
    headers: Mapping[str, str] | None = None,
    extra: Mapping[str, Any] | None = None,
) -> Response:
    """One problem answer. `extra` adds members of its own, such as the id that has a taken reference."""
    kind = PROBLEMS[code]
    body = {
        **(extra or {}),
        "type": type_uri(code),
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        "instance": request.path,
        "request_id": g.get("request_id", ""),
        "errors": list(errors),
    }
    return Response(orjson.dumps(body, default=str), kind.status, dict(headers or {}), content_type=PROBLEM_JSON)


def pointer(path: Iterable[str | int]) -> str:
    """An RFC 6901 JSON Pointer as a URI fragment: `#/rooms/0/walls/2/length_mm`."""
    steps = (str(step).replace("~", "~0").replace("/", "~1") for step in path)
    return "#" + "".join("/" + quote(step, safe="!$&'()*+,;=:@~") for step in steps)


def faults_by_pointer(messages: Any, path: tuple[str | int, ...] = ()) -> list[dict[str, str]]:
    """marshmallow's nest of messages as a flat list, in the order of the document."""
    return [{"pointer": pointer(place), **fault} for place, fault in _leaves(messages, path)]


def faults_by_parameter(messages: Any) -> list[dict[str, str]]:
    """The same for a query string: one entry a parameter."""
    return [{"parameter": str(place[0]) if place else "", **fault} for place, fault in _leaves(messages, ())]


def _leaves(messages: Any, path: tuple[str | int, ...]) -> Iterable[tuple[tuple[str | int, ...], dict[str, str]]]:
    if isinstance(messages, Mapping):
        for step, inner in messages.items():
            yield from _leaves(inner, path if step == "_schema" else (*path, step))
    elif isinstance(messages, list):
        for inner in messages:
            yield from _leaves(inner, path)
    else:
        yield path, {"detail": str(messages), "code": getattr(messages, "code", "invalid")}


def fault_shown(fault: Fault) -> dict[str, str]:
    place = {"pointer": fault.pointer} if fault.pointer.startswith("#") else {"parameter": fault.pointer}
    return {**place, "detail": fault.detail, "code": fault.code, **fault.ids}


_HEADERS = {"unauthenticated": {"WWW-Authenticate": 'Bearer realm="takeoff"'}}


def answer_refusal(refusal: Refusal) -> Response:
    errors = [fault_shown(fault) for fault in refusal.faults] if isinstance(refusal, Invalid) else []
    again = refusal.retry_after_seconds
    headers = _HEADERS.get(refusal.code, {}) | ({} if again is None else {"Retry-After": str(again)})
    return problem(refusal.code, refusal.detail, errors, headers, refusal.extra)


def answer_refused(refused: Refused) -> Response:
    return problem(refused.code, refused.detail, refused.errors, refused.headers)


def answer_http_exception(error: HTTPException) -> Response:
    """What Flask and its libraries refuse by themselves: no such path, wrong method, body too large."""
    code = _BY_STATUS.get(error.code or 500, "malformed-request" if (error.code or 500) < 500 else "internal-error")
    kind = PROBLEMS[code]
    kept = {name: value for name, value in error.get_headers() if name.lower() not in ("content-type", "content-length")}
    return problem(code, kind.meaning, headers=kept)


def answer_defect(error: Exception) -> Response:
    """An error nobody foresaw. The log has all of it, the caller a number to quote and not a word of it."""
    log.error("defect", request_id=g.get("request_id", ""), path=request.path, exc_info=error)
    return problem("internal-error", PROBLEMS["internal-error"].meaning)


def register_problems(app: Flask) -> None:
    app.register_error_handler(Refusal, answer_refusal)
    app.register_error_handler(Refused, answer_refused)
    app.register_error_handler(HTTPException, answer_http_exception)
    app.register_error_handler(Exception, answer_defect)
