"""A POST that is sent twice is done once: the header Idempotency-Key, and what becomes of it.

`once` goes around every POST, whatever it does. It claims the request, lets the handler work on a database that holds its writes
back, and saves effect and answer together. Where the process dies in between, nothing is saved and a retry begins anew.
"""

import hashlib
import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import timedelta

import orjson
from flask import Response, current_app, g, request
from werkzeug.exceptions import HTTPException

from service.api.auth import account_id, database
from service.api.leases import Leases
from service.api.now_and_then import now_and_then
from service.api.problems import Refused
from service.config import Settings
from service.errors import Refusal, Unavailable
from service.store.held import Held
from service.usecases.claim_request import claim_request
from service.usecases.keep_answer import LeaseLost, keep_answer
from service.usecases.records import Answered, Asked, Lease
from service.usecases.release_claim import release_claim
from service.usecases.sweep_claims import sweep_claims

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
MOST_CHARACTERS = 255
SWEPT_EVERY_SECONDS = 60
"""In each process, what was kept long enough; nobody waits for a full sweep."""

FORM = rf'^("([ !#-\[\]-~]|\\["\\]){{1,{MOST_CHARACTERS}}}"|[!#-+\--:<-\[\]-~]{{1,{MOST_CHARACTERS}}})$'
"""A string as RFC 8941 quotes it; or bare, without what means something in a header: quotes, backslashes, commas, semicolons."""


def once(work: Callable[[], Response], secret_members: Sequence[str]) -> Response:
    """What `work` answers, or answered when the request first came. Without the header it is simply done.

    `secret_members` of an answer are null when it is kept.

    Raises:
        Refused: a header that is no key.
        KeyReused, InProgress: see `claim_request`.
    """
    key = _key()
    if key is None:
        return work()
    settings: Settings = current_app.extensions["settings"]
    leases: Leases = current_app.extensions["leases"]
    kept = timedelta(hours=settings.answers_kept_hours)
    asked = Asked(account_id(), request.method, request.path.rstrip("/"), key, _fingerprint())
    found = claim_request(database(), asked, leases.lasting, kept)
    if isinstance(found, Answered):
        return Response(found.body, found.status, [*found.headers, (REPLAYED, "true")])
    try:
        with leases.kept(database(), found):
            answer = _done(work, found, secret_members, kept)
    except LeaseLost:  # a retry came while this was at work, and has done it or is doing it
        return once(work, secret_members)
    except BaseException:
        _release(found)
        raise
    now_and_then("sweep claims", SWEPT_EVERY_SECONDS, lambda: sweep_claims(database()))
    return answer


def _done(work: Callable[[], Response], lease: Lease, secret_members: Sequence[str], kept: timedelta) -> Response:
    with Held(database()) as held:
        g.database = held
        try:
            answer = work()
        except (Refusal, Refused, HTTPException) as refusal:
            held.discard()
            answer = current_app.make_response(current_app.handle_user_exception(refusal))
        finally:
            g.database = None
        if not _is_kept(answer):
            held.discard()
            _release(lease)
            return answer
        headers = tuple((name, value) for name, value in answer.headers if name != "Content-Length")
        keep_answer(held, lease, Answered(answer.status_code, headers, _without(secret_members, answer)), kept)
    return answer


def _is_kept(answer: Response) -> bool:
    """What was done, and what is wrong with the request itself. All else depends on who asks and when."""
    return answer.status_code < 300 or answer.status_code == 422


def _without(secret_members: Sequence[str], answer: Response) -> bytes:
    body = answer.get_data()
    if not secret_members or answer.status_code >= 300:
        return body
    return orjson.dumps({**orjson.loads(body), **dict.fromkeys(secret_members)})


def _release(lease: Lease) -> None:
    """As well as it can be done: otherwise the lease runs out."""
    with suppress(Unavailable):
        release_claim(database(), lease)


def _key() -> str | None:
    """The key, the same whether it came as a quoted string (RFC 8941) or bare; None where there is none."""
    header = request.headers.get(HEADER)
    if header is None:
        return None
    text = header.strip(" \t")
    if re.fullmatch(FORM, text) is None:
        detail = f"{HEADER} must be 1 to {MOST_CHARACTERS} ASCII characters, in double quotes or without any."
        raise Refused("malformed-request", detail, [{"parameter": HEADER, "detail": detail, "code": "wrong_form"}])
    return re.sub(r"\\(.)", r"\1", text[1:-1]) if text.startswith('"') else text


def _fingerprint() -> str:
    """Of all that the request says, but for its headers."""
    return hashlib.sha256(request.query_string + b"\n" + request.get_data(cache=True)).hexdigest()
