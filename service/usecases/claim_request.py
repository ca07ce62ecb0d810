"""Claims a request that may be sent again, or finds what it was answered."""

import math
import zlib
from datetime import timedelta
from uuid import uuid4

from sqlalchemy.orm import Session

from service.errors import InProgress, KeyReused
from service.store.clock import now
from service.store.database import Database
from service.store.models import Claim
from service.usecases.records import Answered, Asked, Lease

LONGEST_WAIT_SECONDS = 5
"""What a retry that comes too early is told to wait at most: the first is mostly done much sooner than its lease runs out."""


def claim_request(database: Database, asked: Asked, lease: timedelta, kept: timedelta) -> Lease | Answered:
    """The lease of whoever comes first, or comes when the lease before has run out; the answer, once there is one.

    The lease is committed before the work begins, and the work is done outside of any transaction; `keep_answer` or
    `release_claim` ends it. `kept`: how long the request is remembered from now.

    Raises:
        KeyReused: the key was sent with another fingerprint.
        InProgress: the lease of another still runs.
    """
    return database.transact(_claim, asked, lease, kept)


def _claim(session: Session, asked: Asked, lease: timedelta, kept: timedelta) -> Lease | Answered:
    moment = now()
    place = {"account_id": asked.account_id, "method": asked.method, "path": asked.path, "key": asked.key}
    claim = session.get(Claim, place, with_for_update=True)
    if claim is None:
        claim = Claim(**place)
        session.add(claim)
    elif claim.kept_until > moment:
        if claim.fingerprint != asked.fingerprint:
            raise KeyReused("This Idempotency-Key was sent with another body or query. A new request needs a new key.")
        if claim.status is not None:
            headers = tuple((name, value) for name, value in claim.headers or ())
            return Answered(claim.status, headers, zlib.decompress(claim.body or b""))
        if claim.lease_until > moment:
            left = math.ceil((claim.lease_until - moment).total_seconds())
            raise InProgress(min(left, LONGEST_WAIT_SECONDS))
    claim.fingerprint, claim.lease = asked.fingerprint, uuid4()
    claim.lease_until, claim.kept_until = moment + lease, moment + kept
    claim.status = claim.headers = claim.body = None
    session.flush()
    return Lease(asked, claim.lease)
