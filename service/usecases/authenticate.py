"""Tells whose key a secret is."""

import hmac
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy import Row, bindparam, or_, select, update
from sqlalchemy.orm import Session

from service.errors import Unauthenticated
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey, FormerSecret
from service.usecases.key_secrets import secret_of
from service.usecases.records import KeyHolder
from service.vocabulary import KeyScope

USE_NOTED_EVERY = timedelta(minutes=1)

_KEY = (ApiKey.id, ApiKey.account_id, ApiKey.scopes, ApiKey.revoked_at, ApiKey.expires_at, ApiKey.last_used_at)
_BY_PREFIX = select(*_KEY, ApiKey.secret_sha256).where(ApiKey.prefix == bindparam("sought"))
"""Every request asks this, so that a key which is revoked is refused by every process from then on."""

_BY_FORMER_PREFIX = (
    select(*_KEY, FormerSecret.secret_sha256)
    .join(FormerSecret, FormerSecret.key_id == ApiKey.id)
    .where(FormerSecret.prefix == bindparam("sought"), FormerSecret.expires_at > bindparam("moment"))
)


def authenticate(database: Database, secret: str) -> KeyHolder:
    """The holder of a key that is known, not revoked and not expired. Notes its use, at most once a minute.

    Raises:
        Unauthenticated: anything else, without saying which.
    """
    given, moment = secret_of(secret), now()
    key = _known(database, given.prefix, moment) if _plain(given.prefix) else None
    if (
        key is None
        or not hmac.compare_digest(key.secret_sha256, given.sha256)
        or key.revoked_at is not None
        or (key.expires_at is not None and key.expires_at <= moment)
    ):
        raise Unauthenticated("This key is not known, has expired or was revoked.")
    holder = KeyHolder(key.account_id, key.id, frozenset(KeyScope(scope) for scope in key.scopes))
    noted = key.last_used_at
    if noted is None or noted <= moment - USE_NOTED_EVERY:
        database.transact(_note_use, holder.key_id, moment)
    return holder


def _known(database: Database, prefix: str, moment: datetime) -> Row[Any] | None:
    """The key with this prefix and the hash of its secret; that of before it was rotated, where that is still good. A key that
    is rotated between the two questions is found by the second: rotating moves its prefix there.
    """
    found = database.ask(_BY_PREFIX, {"sought": prefix}) or database.ask(_BY_FORMER_PREFIX, {"sought": prefix, "moment": moment})
    return found[0] if found else None


def _plain(prefix: str) -> bool:
    """Whether a database can be asked for it: no key's prefix has anything but ASCII, and PostgreSQL refuses NUL."""
    return prefix.isascii() and prefix.isprintable()


def _note_use(session: Session, key_id: UUID, moment: datetime) -> None:
    """Of several requests in the same minute one writes."""
    due = or_(ApiKey.last_used_at.is_(None), ApiKey.last_used_at <= moment - USE_NOTED_EVERY)
    session.execute(update(ApiKey).where(ApiKey.id == key_id, due).values(last_used_at=moment))
