"""Ends an API key."""

from uuid import UUID

from service.store.database import Database


def revoke_key(database: Database, account_id: UUID, key_id: UUID) -> None:
    """From now on the key is refused; revoking it again changes nothing.

    Raises:
        Missing: no such key in this account.
    """
    raise NotImplementedError
