"""Holds every answer that any test sees to the document: status, media type, headers, and the whole body.

The document says that answers may gain members; here they are closed, so that a member nobody documented is noticed.
"""

import json
import re
from collections.abc import Mapping
from typing import Any

import httpx
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator, FormatChecker
from werkzeug.test import TestResponse

OUTSIDE_THE_DOCUMENT = ("/docs", "/v1/openapi.json")
JSON = "application/json"
SOMETIMES = ("Link", "Idempotency-Replayed")
"""Headers that an answer has only where they apply."""
PROBLEM_JSON = "application/problem+json"
UUID = r"[0-9A-Fa-f]{8}(-[0-9A-Fa-f]{4}){3}-[0-9A-Fa-f]{12}"


class Contract:
    """A document, ready to check answers against."""

    def __init__(self, document: Mapping[str, Any]) -> None:
        self.document = document
        self._closed = _closed(document["components"]["schemas"])
        self._validators: dict[str, Draft202012Validator] = {}
        self._paths = [(re.compile(re.sub(r"\{\w+\}", UUID, template)), item) for template, item in document["paths"].items()]

    def operation(self, method: str, path: str) -> dict[str, Any] | None:
        """The operation that this request reaches, or None where the document has none."""
        method = "get" if method == "HEAD" else method.lower()
        path = path.rstrip("/")
        return next((item.get(method) for template, item in self._paths if template.fullmatch(path)), None)

    def check(self, method: str, path: str, status: int, headers: Mapping[str, str], body: bytes) -> None:
        """Raises AssertionError where the answer is not as documented. `headers`: names in any case."""
        assert headers.get("X-Request-Id"), "every answer names its request"
        media = headers.get("Content-Type", "").partition(";")[0]
        if status >= 400:
            assert media == PROBLEM_JSON, f"{status} answered as {media}"
            if method != "HEAD":
                problem = json.loads(body)
                self.conform("ProblemDetails", problem)
                assert problem["status"] == status
                assert problem["type"] in self.document["x-problem-types"]
        operation = self.operation(method, path)
        if operation is None:
            assert status in (404, 405) or path in OUTSIDE_THE_DOCUMENT, f"{method} {path} is not documented"
            return
        documented = operation["responses"].get(str(status))
        name = operation["operationId"]
        assert documented, f"{name} may not answer {status}: {body[:500]!r}"
        if "$ref" in documented:
            return
        for header in documented.get("headers", {}):
            if header not in SOMETIMES:
                assert header in headers, f"{name} lacks the header {header}"
        offered = documented.get("content", {})
        if not offered:
            assert body == b"", f"{name} has nothing to say with {status}"
            return
        assert media in offered, f"{name} is not documented as {media}"
        if media == JSON and method != "HEAD":
            self.conform(offered[JSON]["schema"]["$ref"].rpartition("/")[2], json.loads(body))

    def check_httpx(self, answer: httpx.Response) -> None:
        """The same, as an event hook of an httpx client."""
        answer.read()
        request = answer.request
        self.check(request.method, request.url.path, answer.status_code, answer.headers, answer.content)

    def conform(self, schema: str, value: Any) -> None:
        """Raises AssertionError where `value` is not of the shape of this name."""
        if schema not in self._validators:
            root = {"$ref": f"#/components/schemas/{schema}", "components": {"schemas": self._closed}}
            self._validators[schema] = Draft202012Validator(root, format_checker=FormatChecker())
        faults = [f"{fault.json_path}: {fault.message[:300]}" for fault in self._validators[schema].iter_errors(value)]
        assert not faults, f"not a {schema}: {faults[:5]}"


def _closed(schemas: dict[str, Any]) -> dict[str, Any]:
    """Every object with named members and no others; problems alone may say more about one kind of problem."""
    return {
        name: {"additionalProperties": name in ("ProblemDetails", "Fault"), **schema} if "properties" in schema else schema
        for name, schema in schemas.items()
    }


class ContractClient(FlaskClient):
    """A test client that checks every answer it gets, and sends its account's key."""

    contract: Contract
    key: str | None = None

    def open(self, *args: Any, **kwargs: Any) -> TestResponse:
        if self.key is not None:
            kwargs["headers"] = {"Authorization": f"Bearer {self.key}", **dict(kwargs.get("headers") or {})}
        answer = super().open(*args, **kwargs)
        request = answer.request
        self.contract.check(request.method, request.path, answer.status_code, answer.headers, answer.get_data())
        return answer
