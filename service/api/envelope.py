"""What goes around every answer: its request id, the headers that keep browsers and caches careful, one line in the log,
one count.
"""

import re
import sys
import time
import uuid
from typing import Any

import structlog
from flask import Flask, Request, Response, current_app, g, request
from werkzeug.exceptions import RequestEntityTooLarge

from service.api.metrics import Metrics
from service.api.once import REPLAYED

_WELL_FORMED = re.compile(r"[A-Za-z0-9._:-]{1,64}", re.ASCII)
_CAREFUL = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Cache-Control": "private, no-cache",
}

_WITHOUT_VARIABLES = structlog.processors.ExceptionRenderer(structlog.tracebacks.ExceptionDictTransformer(show_locals=False))
"""Where a defect was, but not what variables held: keys and surveys are among that, and others than their owners read a log."""

log = structlog.get_logger("service.access")


def configure_log(level: str) -> None:
    """One JSON object a line, on stderr: stdout belongs to answers."""
    structlog.configure(
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            _WITHOUT_VARIABLES,
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(level),
        logger_factory=_to_stderr,
    )


def _to_stderr(*_: Any) -> structlog.PrintLogger:
    return structlog.PrintLogger(sys.stderr)


class WholeRequest(Request):
    """A request whose body is read to its end or not at all. One that comes in chunks tells no length beforehand, and what goes
    over the bound would otherwise be cut off there and taken for the whole.
    """

    def get_data(self, *args: Any, **kwargs: Any) -> Any:
        content = super().get_data(*args, **kwargs)
        unread = self.content_length is None and len(content) == self.max_content_length
        if unread and self.environ["wsgi.input"].read(1):
            raise RequestEntityTooLarge
        return content


def register_envelope(app: Flask) -> None:
    app.request_class = WholeRequest
    app.before_request(_begin)
    app.after_request(_finish)


def _begin() -> None:
    given = request.headers.get("X-Request-Id", "")
    g.request_id = given if _WELL_FORMED.fullmatch(given) else uuid.uuid4().hex
    g.began = time.perf_counter()


def _finish(response: Response) -> Response:
    response.headers["X-Request-Id"] = g.request_id
    for name, value in _CAREFUL.items():
        response.headers.setdefault(name, value)
    seconds = time.perf_counter() - g.began
    metrics: Metrics = current_app.extensions["metrics"]
    operation = (request.endpoint or "").rpartition(".")[2]
    metrics.answered(operation, request.method, response.status_code, seconds, replayed=REPLAYED in response.headers)
    caller = g.get("caller")
    log.info(
        "request",
        request_id=g.request_id,
        method=request.method,
        path=request.path,
        status=response.status_code,
        milliseconds=round(seconds * 1000, 1),
        account_id=str(caller.account_id) if caller else None,
        key_id=str(caller.key_id) if caller else None,
    )
    return response
