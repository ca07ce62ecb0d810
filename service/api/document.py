"""The OpenAPI 3.1 document: made from the routes and schemas of the running app, kept in openapi/, tested to be the same."""

import json
from typing import Any

import flask
import flask_smorest
import marshmallow as ma
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin, OpenAPIConverter

from service.api.base import DEPTH_LIMIT
from service.api.conditional import FORM as TAGS_FORM
from service.api.fields import PartOf
from service.api.links import add_links
from service.api.once import FORM
from service.api.problems import PROBLEM_JSON, PROBLEMS, type_uri
from service.api.schemas.family import Request
from service.api.schemas.problems import ProblemDetails
from service.config import Settings

TITLE = "Lining takeoff"
VERSION = "0.1.0"
"""Of this document and the service; the paths stay under /v1 as long as no caller breaks."""

_DESCRIPTION = """\
Takes off internal wall linings room by room: a survey in; layout, material schedule and cut lists out.

**Shapes.** JSON, snake_case, units in names (`length_mm`, `mass_kg`). Survey lengths are whole millimetres. Times are RFC 3339 in
UTC. Money is a decimal as text with its currency. Requests refuse members they do not know; answers may gain members in later
versions, and callers ignore those.

**Ids** are UUIDs. POST makes one; or make your own and PUT: 201 where it was new, 200 where it was replaced. A PUT names the
resource's parent, which never changes. A deleted id stays deleted (410).

**Versions.** What is stored has a `version` and a strong ETag. PUT, PATCH and DELETE of something that exists need `If-Match`
(428 without, 412 when stale, `*` allowed). `If-None-Match` on GET answers 304; `If-None-Match: *` on PUT only ever creates. A
request whose effect already stands succeeds whatever its precondition, so a retry of a lost answer is safe. PATCH is a JSON merge
patch (RFC 7396), sent as `application/merge-patch+json` or `application/json`.

**Repeats.** Any POST may carry an `Idempotency-Key`. Sent again with the same key, path, query and body (byte for byte), it is
not done again: the first answer comes once more, with `Idempotency-Replayed: true` and the `request_id` of then. The same key
with another body or query is refused (422, `idempotency-key-reused`). While the first is still at work the answer is 409
(`request-in-progress`) with `Retry-After`; where it died, a retry takes over within {claim_seconds} seconds. What was
done (2xx) and what was wrong with the request (422) is kept for {answers_kept_hours} hours; other refusals are not, so that the
same request may be sent again. Secrets are not kept: a replay has null in their place. Keys belong to an account and a path.
PUT, PATCH and DELETE need no such key.

**Lists** are `{{"items", "next_cursor"}}` and a `Link` header; `?limit=` gives {page_limit} unless told otherwise and at most
{page_limit_most}.

**Refusals** are problem details (RFC 9457), always of one shape; programs decide by `type`, listed in `x-problem-types`.

**Bounds**: body {body_bytes:,} bytes, nested {depth} deep; {rooms_per_survey} rooms a survey, {walls_per_room} walls a room,
{openings_per_wall} openings and {features_per_wall} features a wall: a longer list is refused as a fault of the body (422), one
more on its own as `bound-reached` (409). Lengths 1 to 100,000 mm.

`/healthz`, `/readyz`, `/metrics`, `/docs` and this document need no key. All examples belong to one invented scenario: the
account, the house, its measurements, article numbers and prices are made up.
"""

_HEADERS = {
    "X-Request-Id": ("Names this request in the log: the caller's own, if well formed.", "a7c1f0de-01"),
    "ETag": ("Strong entity tag of this version; send it back in If-Match or If-None-Match.", '"v41"'),
    "Location": ("Where it is from now on.", "/v1/rooms/01980c5e-7a00-7000-8000-000000000011"),
    "Idempotency-Replayed": ("`true` where this is the first answer once more; otherwise absent.", "true"),
    "Vary": ("Which request headers chose this form.", "Accept"),
    "Link": ('The next page, as `rel="next"`; absent on the last one.', '</v1/projects?cursor=WyJ4Il0>; rel="next"'),
}
_PARAMETERS = {
    "Idempotency-Key": (
        "Names this request, so that it can be sent again: any text of your own, at best a UUID; in double quotes or bare.",
        '"8e03978e-40d5-43dd-bc93-6894a57f9324"',
        {"pattern": FORM},
    ),
    "If-Match": (
        "The ETag of the version that is changed, or `*`. Needed to change what exists.",
        '"v41"',
        {"pattern": TAGS_FORM},
    ),
    "If-None-Match": ("An ETag that is already known: 304 where it still stands.", '"v41"', {"pattern": TAGS_FORM}),
}


class _Converter(OpenAPIConverter):
    """Describes a schema by its docstring, and says of requests that they are closed."""

    def schema2jsonschema(self, schema: ma.Schema) -> dict[str, Any]:
        described: dict[str, Any] = super().schema2jsonschema(schema)
        described["description"] = " ".join((type(schema).__doc__ or "").split())
        described.pop("additionalProperties", None)
        if isinstance(schema, Request):
            described["additionalProperties"] = False
        else:  # all of an answer is read only; saying so of each member would only be noise
            for member in described["properties"].values():
                member.pop("readOnly", None)
        return described


def _any_of_its_shapes(converter: OpenAPIConverter, field: ma.fields.Field[Any], **kwargs: Any) -> dict[str, Any]:
    if not isinstance(field, PartOf):
        return {}
    absent = [{"type": "null"}] if field.allow_none else []
    return {"anyOf": [*(converter.resolve_nested_schema(shape) for shape in field.shapes), *absent]}


class _Plugin(MarshmallowPlugin):
    Converter = _Converter

    def init_spec(self, spec: APISpec) -> None:
        super().init_spec(spec)
        self.converter.add_attribute_function(_any_of_its_shapes)


class DocumentedApi(flask_smorest.Api):
    """flask-smorest's collector of operations. Refusals are documented as what they are; `service.api.problems` answers them."""

    ERROR_SCHEMA = ProblemDetails
    DEFAULT_ERROR_RESPONSE_NAME = None

    def _register_error_handlers(self) -> None:
        """One place answers refusals, and it is not here."""

    def _register_responses(self) -> None:
        by_status: dict[int, list[str]] = {}
        for code, kind in PROBLEMS.items():
            by_status.setdefault(kind.status, []).append(code)
        for status, codes in by_status.items():
            content = {
                "schema": ProblemDetails,
                "examples": {code: {"value": _problem_example(code)} for code in codes},
            }
            response = {
                "description": " ".join(PROBLEMS[code].meaning for code in codes),
                "headers": {"X-Request-Id": "X-Request-Id"},
                "content": {PROBLEM_JSON: content},
            }
            self.spec.components.response(f"Problem{status}", response)
        not_modified = {
            "description": "What the caller has still stands.",
            "headers": {"ETag": "ETag", "X-Request-Id": "X-Request-Id"},
        }
        self.spec.components.response("NotModified", not_modified, lazy=True)

    def _register_etag_headers(self) -> None:
        for name, (text, example) in _HEADERS.items():
            self.spec.components.header(name, {"description": text, "schema": {"type": "string"}, "example": example}, lazy=True)
        for name, (text, example, bounds) in _PARAMETERS.items():
            parameter = {"description": text, "schema": {"type": "string", **bounds}, "example": example}
            self.spec.components.parameter(name, "header", parameter, lazy=True)

    def _register_pagination_header(self) -> None:
        """Lists here go by cursor; `Link` is among the headers."""


def begin_document(app: flask.Flask, settings: Settings) -> DocumentedApi:
    """A document with everything but its operations; each blueprint registered with it brings its own."""
    app.config.update(API_TITLE=TITLE, API_VERSION=VERSION, OPENAPI_VERSION="3.1.1")
    bounds = {name: getattr(settings, name) for name in settings.__slots__}
    api = DocumentedApi()
    api.init_app(
        app,
        spec_kwargs={
            "marshmallow_plugin": _Plugin(schema_name_resolver=lambda schema: _class_of(schema).__name__),
            "info": {"description": _DESCRIPTION.format(depth=DEPTH_LIMIT, **bounds)},
            "servers": [{"url": "/", "description": "The service that gave this document."}],
            "x-problem-types": {
                type_uri(code): {"status": kind.status, "title": kind.title, "description": kind.meaning}
                for code, kind in PROBLEMS.items()
            },
        },
    )
    api.spec.components.security_scheme(
        "apiKey",
        {"type": "http", "scheme": "bearer", "description": "An API key of the account; its scopes say what it may do."},
    )
    return api


def openapi_document(app: flask.Flask) -> dict[str, Any]:
    """The document of this app, as plain JSON values."""
    api = app.extensions["flask-smorest"]["apis"][""]["ext_obj"]
    document: dict[str, Any] = json.loads(app.json.dumps(api.spec.to_dict(), sort_keys=False))
    add_links(document)
    return document


def _class_of(schema: Any) -> type[ma.Schema]:
    return schema if isinstance(schema, type) else type(schema)


def _problem_example(code: str) -> dict[str, Any]:
    kind = PROBLEMS[code]
    faults = {
        "invalid-request": [
            {"pointer": "#/rooms/0/walls/2/length_mm", "detail": "Must be from 1 to 100000.", "code": "out_of_range"},
            {"pointer": "#/rooms/0/colour", "detail": "This object has no such member.", "code": "unknown_member"},
        ],
        "invalid-geometry": [
            {"pointer": "#/survey/rooms/0/walls/0/openings/0", "detail": "The opening reaches 200 mm past the wall's right-hand "
             "end.", "code": "opening_outside_wall"},
        ],
    }  # fmt: skip
    return {
        "type": type_uri(code),
        "title": kind.title,
        "status": kind.status,
        "detail": kind.meaning,
        "instance": "/v1/takeoffs",
        "request_id": "a7c1f0de-01",
        "errors": faults.get(code, []),
    }
