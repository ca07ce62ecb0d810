"""Tells whose key a secret is."""

from service.store.database import Database
from service.usecases.records import KeyHolder


def authenticate(database: Database, secret: str) -> KeyHolder:
    """The holder of a key that is known, not revoked and not expired. Notes its use, at most once a minute.

    Raises:
        Unauthenticated: anything else, without saying which.
    """
    raise NotImplementedError
