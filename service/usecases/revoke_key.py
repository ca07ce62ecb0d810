"""Ends an API key."""

from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.errors import Missing
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey


def revoke_key(database: Database, account_id: UUID, key_id: UUID) -> None:
    """From now on the key is refused; revoking it again changes nothing.

    Raises:
        Missing: no such key in this account.
    """
    database.transact(_revoke, account_id, key_id)


def _revoke(session: Session, account_id: UUID, key_id: UUID) -> None:
    key = session.scalar(select(ApiKey).where(ApiKey.id == key_id, ApiKey.account_id == account_id).with_for_update())
    if key is None:
        raise Missing("There is no key with this id.")
    if key.revoked_at is None:
        key.revoked_at = now()
