"""Tells whose key a secret is."""

import hmac
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy import bindparam, or_, select, update
from sqlalchemy.orm import Session

from service.errors import Unauthenticated
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey, FormerSecret
from service.usecases.key_secrets import secret_of
from service.usecases.records import KeyHolder
from service.vocabulary import KeyScope

USE_NOTED_EVERY = timedelta(minutes=1)

_BY_PREFIX = select(
    ApiKey.id,
    ApiKey.account_id,
    ApiKey.scopes,
    ApiKey.secret_sha256,
    ApiKey.revoked_at,
    ApiKey.expires_at,
    ApiKey.last_used_at,
).where(ApiKey.prefix == bindparam("sought"))
"""Every request asks this: made once, and without the cost of a mapped object."""


def authenticate(database: Database, secret: str) -> KeyHolder:
    """The holder of a key that is known, not revoked and not expired. Notes its use, at most once a minute.

    Raises:
        Unauthenticated: anything else, without saying which.
    """
    given, moment = secret_of(secret), now()
    found = None
    if _plain(given.prefix):
        with database.read() as session:
            found = _proof(session, given.prefix, moment)
    if (
        found is None
        or not hmac.compare_digest(found[1], given.sha256)
        or (key := found[0]).revoked_at is not None
        or (key.expires_at is not None and key.expires_at <= moment)
    ):
        raise Unauthenticated("This key is not known, has expired or was revoked.")
    holder = KeyHolder(key.account_id, key.id, frozenset(KeyScope(scope) for scope in key.scopes))
    noted = key.last_used_at
    if noted is None or noted <= moment - USE_NOTED_EVERY:
        database.transact(_note_use, holder.key_id, moment)
    return holder


def _proof(session: Session, prefix: str, moment: datetime) -> tuple[Any, str] | None:
    """The key with this prefix and the hash of its secret; that of before it was rotated, where that is still good."""
    key = session.execute(_BY_PREFIX, {"sought": prefix}).one_or_none()
    if key is not None:
        return key, key.secret_sha256
    former = session.get(FormerSecret, prefix)
    if former is None or former.expires_at <= moment:
        return None
    return session.get_one(ApiKey, former.key_id), former.secret_sha256


def _plain(prefix: str) -> bool:
    """Whether a database can be asked for it: no key's prefix has anything but ASCII, and PostgreSQL refuses NUL."""
    return prefix.isascii() and prefix.isprintable()


def _note_use(session: Session, key_id: UUID, moment: datetime) -> None:
    """Of several requests in the same minute one writes."""
    due = or_(ApiKey.last_used_at.is_(None), ApiKey.last_used_at <= moment - USE_NOTED_EVERY)
    session.execute(update(ApiKey).where(ApiKey.id == key_id, due).values(last_used_at=moment))
