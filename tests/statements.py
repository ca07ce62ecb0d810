"""What a block of a test asks a database."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import event

from service.store.database import Database


@contextmanager
def statements(database: Database) -> Iterator[list[str]]:
    """The SQL that is run inside the block, without what begins and ends transactions and savepoints."""
    seen: list[str] = []

    def note(connection: Any, cursor: Any, statement: str, *rest: Any) -> None:
        if not statement.startswith(("BEGIN", "SAVEPOINT", "RELEASE", "ROLLBACK")):
            seen.append(statement)

    event.listen(database.engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(database.engine, "before_cursor_execute", note)
