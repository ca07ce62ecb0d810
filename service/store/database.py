"""The door to the database: sessions that read, sessions that write, and what their failures mean.

SQLite writes begin with BEGIN IMMEDIATE: a transaction that reads first and writes later would otherwise lose updates or fail
half-way. PostgreSQL runs at READ COMMITTED; whoever changes something that others may change too locks its root's row first.
"""

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, Row, Select, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError, TimeoutError
from sqlalchemy.orm import Session, sessionmaker
from sqlalchemy.orm.exc import StaleDataError

from service.errors import Conflict, PreconditionFailed, Unavailable
from service.store.ledger import refuse_all_writes, refuse_unnumbered_writes
from service.vocabulary import ResourceKind

Answer = TypeVar("Answer")
ATTEMPTS = 5
"""How often `transact` runs its work before it gives up."""
AGAIN = {"40001": "serialization failure", "40P01": "deadlock", "23505": "unique violation"}
PAUSE_SECONDS = 0.01
"""Before the second attempt, and as much longer before each further one: the other transaction can come to its end."""
BUSY = {"55P03": "lock timeout", "57014": "statement timeout", "53300": "too many connections"}


class Database:
    """One database and its pool of connections; shared by all threads of a process, across a fork only with `after_fork`.

    `url` is SQLAlchemy's, sqlite or postgresql. `most_children`: how many live rows of a kind a parent may have, without a bound
    where it says nothing; sessions carry it in their `info`. The rest are the settings of the same names.
    """

    def __init__(
        self,
        url: str,
        *,
        sqlite_synchronous: str = "NORMAL",
        sqlite_busy_seconds: int = 10,
        pool_size: int = 5,
        pool_overflow: int = 2,
        pool_wait_seconds: int = 5,
        connect_seconds: int = 5,
        statement_milliseconds: int = 15_000,
        lock_milliseconds: int = 3_000,
        transaction_pooler: bool = False,
        most_children: Mapping[ResourceKind, int] | None = None,
    ) -> None:
        self.url = make_url(url)
        pool = {"pool_size": pool_size, "max_overflow": pool_overflow, "pool_timeout": pool_wait_seconds}
        if self.url.get_backend_name() == "sqlite":
            self.engine = _sqlite(self.url, pool, sqlite_synchronous, sqlite_busy_seconds)
        else:
            limits = {
                "statement_timeout": statement_milliseconds,
                "lock_timeout": lock_milliseconds,
                "idle_in_transaction_session_timeout": 30_000,
                "timezone": "UTC",
            }
            self.engine = _postgresql(self.url, pool, limits, connect_seconds, transaction_pooler)
        info = {"most_children": dict(most_children or {})}
        self._asking = _for_asking(self.engine)
        self._reading = sessionmaker(_for_reading(self.engine), autoflush=False)
        self._writing = sessionmaker(self.engine, expire_on_commit=False, autoflush=False, info=info)
        refuse_all_writes(self._reading)
        refuse_unnumbered_writes(self._writing)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that sees one state of the database throughout and cannot change it.

        Raises:
            Unavailable: too busy.
        """
        with failures_named(), self._reading() as session:
            yield session

    def ask(self, question: Select[Any], values: Mapping[str, Any] | None = None) -> Sequence[Row[Any]]:
        """The rows of one SELECT. It sees one state of the database, so it needs neither a session nor a transaction around it,
        which cost more than the question; what is asked on every request is asked this way.

        Raises:
            Unavailable: too busy.
        """
        with failures_named(), self._asking.connect() as connection:
            return connection.execute(question, values).all()

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session whose changes are committed at the end of the block, or not at all when it raises.

        Raises:
            Conflict: something with the same unique value was stored meanwhile.
            PreconditionFailed: a row was changed meanwhile.
            Unavailable: too busy.
        """
        with failures_named(), self._writing.begin() as session:
            yield session

    def transact(self, work: Callable[..., Answer], *arguments: Any) -> Answer:
        """Runs `work(session, *arguments)` as a write. Where another transaction got in its way, the whole is run again: it then
        reads what the other one left, so a race for an id or a reference ends as if the two had come one after the other.

        Raises:
            as `write`, and what `work` raises.
        """
        for attempt in range(1, ATTEMPTS + 1):
            try:
                return self._attempt(work, arguments)
            except (DBAPIError, TimeoutError, StaleDataError) as failure:
                if attempt == ATTEMPTS or not _worth_another_try(failure):
                    raise _meaning(failure) from failure
            time.sleep(PAUSE_SECONDS * attempt)
        raise AssertionError("unreachable")

    def _attempt(self, work: Callable[..., Answer], arguments: tuple[Any, ...]) -> Answer:
        with self._writing.begin() as session:
            return work(session, *arguments)

    def close(self) -> None:
        """Closes all connections; the next use opens new ones."""
        self.engine.dispose()

    def after_fork(self) -> None:
        """Leaves the parent's connections to the parent: to be called first thing in a child process."""
        self.engine.dispose(close=False)


def _sqlite(url: URL, pool: dict[str, int], synchronous: str, busy_seconds: int) -> Engine:
    if not url.database or url.database == ":memory:":
        raise ValueError("an in-memory database cannot be shared by connections; name a file")
    Path(url.database).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(url, connect_args={"timeout": busy_seconds}, hide_parameters=True, **pool)

    @event.listens_for(engine, "connect")
    def settle(dbapi: Any, _: Any) -> None:
        dbapi.isolation_level = None  # the driver would begin by itself, and too late; SQLAlchemy begins below
        cursor = dbapi.cursor()
        for pragma in (
            "journal_mode=WAL",
            f"synchronous={synchronous}",
            f"busy_timeout={busy_seconds * 1000}",
            "foreign_keys=ON",
            "cache_size=-16000",
            "temp_store=MEMORY",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        options = connection.get_execution_options()
        if not options.get("asking"):
            connection.exec_driver_sql("BEGIN" if options.get("reading") else "BEGIN IMMEDIATE")

    return engine


def _postgresql(url: URL, pool: dict[str, int], limits: dict[str, Any], connect_seconds: int, transaction_pooler: bool) -> Engine:
    arguments: dict[str, Any] = {
        "connect_timeout": connect_seconds,
        "application_name": "lining-takeoff",
        "options": " ".join(f"-c {name}={value}" for name, value in limits.items()),
    }
    if transaction_pooler:
        arguments["prepare_threshold"] = None
    url = url.set(drivername="postgresql+psycopg")
    return create_engine(url, connect_args=arguments, hide_parameters=True, pool_pre_ping=True, pool_recycle=1800, **pool)


def _for_reading(engine: Engine) -> Engine:
    """The same engine, its transactions seeing one state throughout."""
    if engine.dialect.name == "sqlite":
        return engine.execution_options(reading=True)
    return engine.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)


def _for_asking(engine: Engine) -> Engine:
    """The same engine, each statement on its own."""
    if engine.dialect.name == "sqlite":
        return engine.execution_options(asking=True)
    return engine.execution_options(isolation_level="AUTOCOMMIT")


@contextmanager
def failures_named() -> Iterator[None]:
    try:
        yield
    except (DBAPIError, TimeoutError, StaleDataError) as failure:
        raise _meaning(failure) from failure


def _state(failure: Exception) -> str | None:
    """The SQLSTATE; of SQLite, which has none, the nearest one."""
    cause = getattr(failure, "orig", None)
    if state := getattr(cause, "sqlstate", None):
        return str(state)
    name = getattr(cause, "sqlite_errorname", "") or ""
    if name in ("SQLITE_CONSTRAINT_UNIQUE", "SQLITE_CONSTRAINT_PRIMARYKEY"):
        return "23505"
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return "55P03"
    return None


def _worth_another_try(failure: Exception) -> bool:
    return isinstance(failure, StaleDataError) or _state(failure) in AGAIN


def _meaning(failure: Exception) -> Exception:
    """What a failure is to a caller; one that is a fault of this program stays as it is."""
    state = _state(failure)
    if isinstance(failure, StaleDataError):
        return PreconditionFailed("This was changed by someone else at the same moment; read it again.")
    if isinstance(failure, IntegrityError) and state == "23505":
        return Conflict("Something with the same unique value was stored at the same moment.")
    if isinstance(failure, TimeoutError) or state in BUSY or state in AGAIN or _cut_off(failure):
        return Unavailable("The database is too busy just now. Send the same request again a little later.")
    return failure


def _cut_off(failure: Exception) -> bool:
    """The server could not be reached, went away or is about to."""
    if not isinstance(failure, OperationalError) or hasattr(failure.orig, "sqlite_errorname"):
        return False
    state = _state(failure)
    return state is None or state.startswith(("08", "57P"))
