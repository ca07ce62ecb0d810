"""A database whose writes are held back until the answer to the request is known, so that both are saved together or neither."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from types import TracebackType
from typing import Any, TypeVar

from sqlalchemy import Connection, Row, Select
from sqlalchemy.orm import Session

from service.store.database import Database, failures_named

Answer = TypeVar("Answer")


class Held(Database):
    """What one request sees of a database: its first write begins a transaction, which `save` commits and `discard` undoes.

    Between two writes, and between the last write and `save`, the transaction stays open; nothing is open before the first, so
    long work belongs there. Each write is a savepoint, and is run again on its own where another transaction got in its way.
    Reading after a write sees what it wrote. To be used by one thread, in a `with` block, whose end discards what is not saved.
    """

    def __init__(self, whole: Database) -> None:
        self.url, self.engine = whole.url, whole.engine
        self._asking, self._reading, self._writing = whole._asking, whole._reading, whole._writing
        self._connection: Connection | None = None

    def __enter__(self) -> "Held":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.discard()

    @contextmanager
    def read(self) -> Iterator[Session]:
        if self._connection is None:
            with super().read() as session:
                yield session
        else:
            with failures_named(), self._reading(bind=self._connection) as session:
                yield session

    def ask(self, question: Select[Any], values: Mapping[str, Any] | None = None) -> Sequence[Row[Any]]:
        if self._connection is None:
            return super().ask(question, values)
        with failures_named():
            return self._connection.execute(question, values).all()

    @contextmanager
    def write(self) -> Iterator[Session]:
        with failures_named(), self._savepoint() as session:
            yield session

    def save(self, work: Callable[..., Any], *arguments: Any) -> None:
        """Runs one more `work(session, *arguments)` and commits everything; where that raises, nothing is left.

        Raises:
            as `transact`.
        """
        try:
            self.transact(work, *arguments)
            assert self._connection is not None
            with failures_named():
                self._connection.commit()
        finally:
            self.discard()

    def discard(self) -> None:
        """Undoes what was written since the last `save`."""
        connection, self._connection = self._connection, None
        if connection is not None:
            connection.close()

    def _attempt(self, work: Callable[..., Answer], arguments: tuple[Any, ...]) -> Answer:
        with self._savepoint() as session:
            return work(session, *arguments)

    @contextmanager
    def _savepoint(self) -> Iterator[Session]:
        if self._connection is None:
            connection = self.engine.connect()
            try:
                connection.begin()
            except BaseException:
                connection.close()
                raise
            self._connection = connection
        with self._writing(bind=self._connection, join_transaction_mode="create_savepoint") as session, session.begin():
            yield session
