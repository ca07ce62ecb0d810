"""Makes an account."""

from service.store.database import Database
from service.usecases.records import Record


def create_account(database: Database, name: str) -> Record:
    """A new, empty account.

    Raises:
        Invalid: no name.
        Conflict: the name is taken; `extra` has `id`, the one that has it.
    """
    raise NotImplementedError
