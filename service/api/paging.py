"""Lists a page at a time. A cursor is opaque to callers: the place where a page ended, and which list it belongs to."""

import base64
import hashlib
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import urlencode

import orjson
from flask import Response, current_app, request

from service.api.answers import marked
from service.api.problems import Refused
from service.usecases.records import Page, Place, Record


def page_answer(
    query: Mapping[str, Any], fetch: Callable[..., Page], show: Callable[[Record], dict[str, Any]], **filters: Any
) -> Response:
    """`{"items", "next_cursor"}` and `Link: rel="next"`.

    `query`: the checked query string. `fetch(limit=, after=, filters=)` reads one page, `show` gives an entry's document.
    Filters that were not given are left out.

    Raises:
        Refused: a cursor that is not ours, or that belongs to another list or other filters.
    """
    settings = current_app.extensions["settings"]
    limit = min(query.get("limit") or settings.page_limit, settings.page_limit_most)
    filters = {name: value for name, value in filters.items() if value is not None}
    cursor = query.get("cursor")
    try:
        page = fetch(limit=limit, after=None if cursor is None else _opened(cursor, filters), filters=filters)
    except (ValueError, TypeError):
        raise _bad_cursor() from None
    next_cursor = None if page.next_after is None else _closed(page.next_after, filters)
    headers = {}
    if next_cursor is not None:
        onward = {**request.args.to_dict(), "cursor": next_cursor}
        headers["Link"] = f'<{request.path}?{urlencode(onward)}>; rel="next"'
    return marked({"items": [show(record) for record in page.items], "next_cursor": next_cursor}, headers)


def _list_mark(filters: Mapping[str, Any]) -> str:
    told = repr((request.path, sorted((name, str(value)) for name, value in filters.items())))
    return hashlib.sha256(told.encode()).hexdigest()[:12]


def _closed(after: Place, filters: Mapping[str, Any]) -> str:
    return base64.urlsafe_b64encode(orjson.dumps([*after, _list_mark(filters)])).decode().rstrip("=")


def _opened(cursor: str, filters: Mapping[str, Any]) -> Place:
    """Raises ValueError for anything that `_closed` did not make for this list."""
    key, last_id, mark = orjson.loads(base64.b64decode(cursor + "=" * (-len(cursor) % 4), altchars=b"-_", validate=True))
    if (
        mark != _list_mark(filters)
        or isinstance(key, bool)
        or not isinstance(key, int | float | str)
        or not isinstance(last_id, str)
    ):
        raise ValueError("no cursor of this list")
    return key, last_id


def _bad_cursor() -> Refused:
    detail = "This cursor does not belong to this list with these filters. Start again without a cursor."
    return Refused("malformed-request", detail, [{"parameter": "cursor", "detail": detail, "code": "wrong_cursor"}])
