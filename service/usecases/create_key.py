"""Makes an API key."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from service.store.database import Database
from service.usecases.records import Record
from service.vocabulary import KeyScope


def create_key(
    database: Database, account_id: UUID, scopes: Iterable[KeyScope], name: str, expires_at: datetime | None = None
) -> tuple[Record, str]:
    """The key's record and its secret. The secret is not stored: this is the only time it is known.

    Raises:
        Invalid: no name, no scope, an expiry that is past or has no time zone.
    """
    raise NotImplementedError
