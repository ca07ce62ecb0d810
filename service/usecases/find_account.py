"""Finds an account by its name."""

from service.store.database import Database
from service.usecases.records import Record


def find_account(database: Database, name: str) -> Record:
    """The account of this name.

    Raises:
        Missing: there is none.
    """
    raise NotImplementedError
