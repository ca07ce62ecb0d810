"""Gives an API key a new secret."""

from datetime import timedelta
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.errors import Conflict, Missing
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey, FormerSecret
from service.usecases.key_secrets import Secret, new_secret
from service.usecases.plain_records import key_record
from service.usecases.records import Record


def rotate_key(database: Database, account_id: UUID, key_id: UUID, overlap: timedelta) -> tuple[Record, str]:
    """The key's record and its new secret. Each secret it had ends after `overlap`, or when it would have ended anyway: so
    whoever lost the answer to a rotation rotates once more, and the secret that is in use is not cut off by that.

    Raises:
        Missing: no such key in this account.
        Conflict: it was revoked or has expired.
    """
    secret = new_secret()
    return database.transact(_rotate, account_id, key_id, overlap, secret), secret.text


def _rotate(session: Session, account_id: UUID, key_id: UUID, overlap: timedelta, secret: Secret) -> Record:
    key = session.scalar(select(ApiKey).where(ApiKey.id == key_id, ApiKey.account_id == account_id).with_for_update())
    if key is None:
        raise Missing("There is no key with this id.")
    moment = now()
    if key.revoked_at is not None or (key.expires_at is not None and key.expires_at <= moment):
        raise Conflict("This key was revoked or has expired; make another.")
    end = moment + overlap
    for former in key.former_secrets:
        if former.expires_at <= moment:
            session.delete(former)
        former.expires_at = min(former.expires_at, end)
    ended = FormerSecret(prefix=key.prefix, key_id=key.id, secret_sha256=key.secret_sha256, expires_at=end)
    session.add(ended)
    key.prefix, key.secret_sha256 = secret.prefix, secret.sha256
    session.flush()
    session.expire(key, ["former_secrets"])
    return key_record(key)
