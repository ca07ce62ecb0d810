"""How a request becomes a call: strict reading of bodies and queries, and one decorator that both routes and documents.

`Blueprint.operation` is the only way a route is made. What it is told (scope, schemas, answer, preconditions) decides what the
route checks and what the document says, so the two cannot differ.
"""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial, wraps
from typing import Any, NamedTuple, NoReturn

import flask
import flask_smorest
import marshmallow as ma
import orjson
from webargs.flaskparser import FlaskParser

from service.api.auth import require_scope
from service.api.once import once
from service.api.problems import Refused, faults_by_parameter, faults_by_pointer
from service.api.schemas.family import members_shown_once
from service.api.schemas.queries import NoQuery
from service.vocabulary import KeyScope

JSON = "application/json"
SVG = "image/svg+xml"
MERGE_PATCH = "application/merge-patch+json"
DEPTH_LIMIT = 32
"""Deeper nesting than this is no document of ours; it is refused before anything walks it."""
TOO_DEEP = f"Nested more than {DEPTH_LIMIT} deep."


class StrictParser(FlaskParser):
    """Reads what JSON is and nothing else, and refuses with problems instead of falling back."""

    DEFAULT_UNKNOWN_BY_LOCATION = {**FlaskParser.DEFAULT_UNKNOWN_BY_LOCATION, "query": ma.RAISE}

    def load_json(self, req: flask.Request, schema: ma.Schema) -> Any:
        accepted = (MERGE_PATCH, JSON) if req.method == "PATCH" else (JSON,)
        if req.headers.get("Content-Encoding", "identity").strip().lower() != "identity":
            detail = "The body must come as it is, without a Content-Encoding."
            raise Refused("unsupported-media-type", detail, headers={"Accept-Encoding": "identity"})
        if req.mimetype not in accepted:
            header = "Accept-Patch" if req.method == "PATCH" else "Accept"
            detail = f"Content-Type must be {' or '.join(accepted)}."
            raise Refused("unsupported-media-type", detail, headers={header: ", ".join(accepted)})
        return read_json(req.get_data(cache=True))

    def load_querystring(self, req: flask.Request, schema: ma.Schema) -> Any:
        twice = [name for name, values in req.args.lists() if len(values) > 1]
        if twice:
            detail = "Given more than once."
            errors = [{"parameter": name, "detail": detail, "code": "given_twice"} for name in twice]
            raise Refused("invalid-request", "The query has faults; each is listed.", errors)
        return req.args.to_dict()

    def handle_error(self, error: ma.ValidationError, req: flask.Request, schema: ma.Schema, **kwargs: Any) -> NoReturn:
        messages = error.messages if isinstance(error.messages, dict) else {}
        if "query" in messages:
            raise Refused("invalid-request", "The query has faults; each is listed.", faults_by_parameter(messages["query"]))
        detail = "The body has faults; each is listed with its place."
        raise Refused("invalid-request", detail, faults_by_pointer(messages.get("json", messages)))


def read_json(raw: bytes) -> Any:
    """One JSON document (RFC 8259): no NaN, no infinities, no lone surrogates, no name twice in an object, no endless nesting."""
    if not raw.strip():
        raise Refused("malformed-request", "A JSON body is required.")
    try:
        document = orjson.loads(raw)
    except orjson.JSONDecodeError as error:
        if "depth" in error.msg:
            raise Refused("malformed-request", TOO_DEEP) from None
        raise Refused("malformed-request", f"Not JSON: {error.msg} (line {error.lineno}, column {error.colno}).") from None
    if _deeper_than(document, DEPTH_LIMIT):
        raise Refused("malformed-request", TOO_DEEP)
    # orjson keeps the last of two equal names; a measurement given twice must not vanish silently.
    json.loads(raw, object_pairs_hook=_no_name_twice)
    return document


def _deeper_than(value: Any, limit: int) -> bool:
    level = [value]
    for _ in range(limit + 1):
        level = [container for container in level if isinstance(container, dict | list)]
        if not level:
            return False
        level = [inner for outer in level for inner in (outer.values() if isinstance(outer, dict) else outer)]
    return True


def _no_name_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))
        raise Refused("malformed-request", f"The name {json.dumps(twice)} stands twice in one object.")
    return members


class TextForm(NamedTuple):
    """A media type that is text, without a shape to hold it to."""

    media: str
    description: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """What one route promises; the document is written from this and the route behaves by it."""

    id: str
    method: str
    path: str
    scope: KeyScope | None
    statuses: tuple[int, ...]
    etag: bool
    precondition: bool
    paged: bool
    body: bool
    problems: tuple[int, ...]
    texts: tuple[TextForm, ...]


class Blueprint(flask_smorest.Blueprint):
    """A group of operations under one tag."""

    ARGUMENTS_PARSER = StrictParser()

    def __init__(self, name: str, description: str) -> None:
        super().__init__(name, __name__, description=description)
        self._prepare_doc_cbks.append(self._prepare_operation_doc)

    def operation(
        self,
        method: str,
        path: str,
        operation_id: str,
        *,
        scope: KeyScope | None,
        summary: str = "",
        description: str = "",
        answer: type[ma.Schema] | None = None,
        example: Any = None,
        status: int | tuple[int, ...] = 200,
        query: type[ma.Schema] = NoQuery,
        body: type[ma.Schema] | None = None,
        body_example: Any = None,
        etag: bool = False,
        precondition: bool = False,
        paged: bool = False,
        problems: tuple[int, ...] = (),
        texts: tuple[TextForm, ...] = (),
    ) -> Callable[[Callable[..., flask.Response]], Callable[..., flask.Response]]:
        """Routes, guards and documents one operation.

        The handler is called with the ids of the path, `query` (where a schema is given) and `body` (likewise), all checked, and
        only when the caller's key has `scope`; None needs no key, so nothing of an account may be answered. It returns a finished
        response: `answer` describes that, and tests hold it to it. `texts`: what else it is to be had as, chosen by `Accept`.
        """
        statuses = status if isinstance(status, tuple) else (status,)
        secret_members = () if answer is None else members_shown_once(answer)
        told = Operation(
            id=operation_id, method=method, path=path, scope=scope, statuses=statuses, etag=etag or paged,
            precondition=precondition, paged=paged, body=body is not None, problems=problems, texts=texts,
        )  # fmt: skip

        def decorate(handler: Callable[..., flask.Response]) -> Callable[..., flask.Response]:
            def read(*, query_given: Mapping[str, Any] | None = None, **given: Any) -> flask.Response:
                return handler(**given) if query is NoQuery else handler(query=query_given, **given)

            read.__doc__ = f"{summary}\n\n{description}" if summary else handler.__doc__
            view: Any = read
            for code in reversed(statuses):
                view = self.response(code, answer, example=example, description=_SUCCESS[code])(view)
            if body is not None:
                content_type = MERGE_PATCH if method == "PATCH" else JSON
                view = self.arguments(body(), arg_name="body", content_type=content_type, example=body_example)(view)
            without_query = view
            view = self.arguments(query(), location="query", arg_name="query_given")(view)

            @wraps(view)
            def guarded(**ids: Any) -> flask.Response:
                if scope is not None:
                    require_scope(scope)
                asked = view if query is not NoQuery or flask.request.query_string else without_query
                return once(partial(asked, **ids), secret_members) if method == "POST" else asked(**ids)

            guarded._apidoc["operation"] = told
            named = [
                {"in": "path", "name": name, "description": f"Id of the {_in_words(name)}."} for name in _NAMES.findall(path)
            ]
            self.add_url_rule(path, operation_id, guarded, methods=[method], parameters=named)
            return handler

        return decorate

    @staticmethod
    def _prepare_operation_doc(doc: dict[str, Any], doc_info: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        told: Operation = doc_info["operation"]
        doc["operationId"] = told.id
        doc["security"] = [] if told.scope is None else [{"apiKey": [told.scope.value]}]
        scope = "Needs no key." if told.scope is None else f"Needs a key with the scope `{told.scope.value}`."
        doc_info["docstring"]["description"] = "\n\n".join(
            part for part in (doc_info["docstring"].get("description"), scope) if part
        )
        parameters = doc.setdefault("parameters", [])
        if told.etag and told.method == "GET":
            parameters.append("If-None-Match")
            doc["responses"][304] = "NotModified"
        if told.precondition:
            parameters.append("If-Match")
        if told.method == "POST":
            parameters.append("Idempotency-Key")
        for status in told.statuses:
            headers = doc["responses"][status].setdefault("headers", {})
            headers["X-Request-Id"] = "X-Request-Id"
            if told.etag:
                headers["ETag"] = "ETag"
            if status == 201:
                headers["Location"] = "Location"
            if told.method == "POST":
                headers["Idempotency-Replayed"] = "Idempotency-Replayed"
            if told.paged:
                headers["Link"] = "Link"
            if told.texts:
                headers["Vary"] = "Vary"
            for form in told.texts:
                content = {"schema": {"type": "string", "description": form.description}, "example": form.example}
                doc["responses"][status].setdefault("content", {})[form.media] = content
        for status in _problem_statuses(told):
            doc["responses"][status] = f"Problem{status}"
        doc["responses"] = dict(sorted(doc["responses"].items()))
        return doc


_NAMES = re.compile(r"<uuid:(\w+)>")


def _in_words(name: str) -> str:
    """`room_id` → `room`; what it is another of is told by the operation."""
    return name.removesuffix("_id").replace("_", " ")


_SUCCESS = {200: "As asked.", 201: "Made; `Location` says where.", 204: "Done; there is nothing to say about it."}


def _problem_statuses(told: Operation) -> list[int]:
    """Every status of refusal that this operation can answer with, worked out from what it takes."""
    statuses = {422, 500, 503, *told.problems}
    if told.scope is not None:
        statuses |= {401, 403}
    if "<" in told.path:
        statuses |= {404}
    if told.method == "POST":
        statuses |= {400, 409}
    if told.body:
        statuses |= {400, 413, 415}
    if told.etag or told.paged:
        statuses |= {400}
    if told.precondition:
        statuses |= {400, 409, 410, 412, 428}
    return sorted(statuses)
