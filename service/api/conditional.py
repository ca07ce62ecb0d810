"""Versions on the wire: strong ETags, If-Match and If-None-Match (RFC 9110, section 13)."""

import re
from typing import Any

from flask import request

from service.api.problems import Refused
from service.usecases.records import Precondition

_TAGS = re.compile(r'\s*(?:(?:W/)?"[\x21\x23-\x7e\x80-\xff]*"\s*(?:,\s*|$))+')
FORM = r'^(\*|(W/)?"[!#-~]*"( *, *(W/)?"[!#-~]*")*)$'
"""What both headers look like, as the document says it."""

_TAG = re.compile(r'(W/)?"([\x21\x23-\x7e\x80-\xff]*)"')
_VERSION = re.compile(r"v([0-9]{1,18})")


def etag(version: Any) -> str:
    """`"v7"`."""
    return f'"v{version}"'


def precondition() -> Precondition:
    """What this request says about the version it changes.

    Raises:
        Refused: a header that is no list of entity tags.
    """
    match, none_match = request.headers.get("If-Match"), request.headers.get("If-None-Match")
    if match is not None:
        tags = _read("If-Match", match)
        if tags is None:
            return Precondition.any()
        # Weak tags never match here, and neither does a tag that is not ours: -1 is no version, but something was said.
        versions = [int(found.group(1)) for weak, tag in tags if not weak and (found := _VERSION.fullmatch(tag))]
        return Precondition.match(versions or [-1])
    if none_match is not None and _read("If-None-Match", none_match) is None:
        return Precondition(absent=True)
    return Precondition.none()


def is_known(tag: str) -> bool:
    """Whether the caller already holds what `tag` names, so that 304 says all there is to say."""
    header = request.headers.get("If-None-Match")
    if header is None:
        return False
    tags = _read("If-None-Match", header)
    return tags is None or any(f'"{opaque}"' == tag for _, opaque in tags)


def _read(name: str, header: str) -> list[tuple[str, str]] | None:
    """The tags as (weak mark, opaque text); None for `*`."""
    if header.strip() == "*":
        return None
    if not _TAGS.fullmatch(header):
        detail = f"{name} must be * or a list of entity tags, each in double quotes."
        raise Refused("malformed-request", detail, [{"parameter": name, "detail": detail, "code": "wrong_form"}])
    return _TAG.findall(header)
