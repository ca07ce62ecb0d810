"""Holds every answer that any API test sees to the document: status, media type, headers, and the whole body.

The document says that answers may gain members; here they are closed, so that a member nobody documented is noticed.
"""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator, FormatChecker
from werkzeug.test import TestResponse

from service.api.document import openapi_document

OUTSIDE_THE_DOCUMENT = ("/healthz", "/readyz", "/docs", "/v1/openapi.json")
PROBLEM_JSON = "application/problem+json"


class Contract:
    """The document of one app, ready to check answers against."""

    def __init__(self, app: Flask) -> None:
        self.app = app
        self.document = openapi_document(app)
        self._closed = _closed(self.document["components"]["schemas"])
        self._validators: dict[str, Draft202012Validator] = {}

    def operation(self, method: str, path: str) -> dict[str, Any] | None:
        """The operation that this request reaches, or None where the document has none."""
        rule, _ = self.app.url_map.bind("localhost").match(path, method=method, return_rule=True)
        template = str(rule.rule).replace("<uuid:", "{").replace(">", "}")
        method = "get" if method == "HEAD" else method.lower()
        return self.document["paths"].get(template, {}).get(method)

    def check(self, method: str, path: str, answer: TestResponse) -> None:
        """Raises AssertionError where the answer is not as documented."""
        assert answer.headers.get("X-Request-Id"), "every answer names its request"
        if answer.status_code >= 400:
            assert answer.mimetype == PROBLEM_JSON, f"{answer.status_code} answered as {answer.mimetype}"
            if method != "HEAD":
                self.conform("ProblemDetails", answer.get_json(force=True))
        if answer.status_code in (404, 405):
            return  # a path or method may be none of ours
        operation = self.operation(method, path)
        if operation is None:
            assert path in OUTSIDE_THE_DOCUMENT, f"{method} {path} is not documented"
            return
        documented = operation["responses"].get(str(answer.status_code))
        name = operation["operationId"]
        assert documented, f"{name} may not answer {answer.status_code}: {answer.get_data(as_text=True)[:500]}"
        if "$ref" in documented:
            return
        for header in documented.get("headers", {}):
            if header != "Link":
                assert header in answer.headers, f"{name} lacks the header {header}"
        if answer.mimetype == "image/svg+xml":
            assert "image/svg+xml" in documented.get("content", {}), f"{name} is not documented as a drawing"
            return
        media = documented.get("content", {}).get("application/json")
        if media is None:
            assert answer.get_data() == b"", f"{name} has nothing to say with {answer.status_code}"
        elif method != "HEAD":
            assert answer.mimetype == "application/json"
            self.conform(media["schema"]["$ref"].rpartition("/")[2], answer.get_json())

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
        self.contract.check(answer.request.method, answer.request.path, answer)
        return answer
