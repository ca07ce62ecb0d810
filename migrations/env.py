"""Runs migrations. Configured in pyproject.toml; the database is the caller's (`service.store.schema`), or the environment's.

SQLite: batch mode copies a table and drops the old one, and with foreign keys on that drop would delete the rows of child tables.
So migrations have an engine of their own with foreign keys off, and every reference is checked before the commit.
PostgreSQL: processes that start at the same time migrate one after the other, and no migration waits long for a table's lock
while everybody else queues behind it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from alembic import context
from sqlalchemy import Connection, create_engine, event, pool
from sqlalchemy.engine import URL, make_url

from service.config import Settings
from service.store.columns import UtcDateTime
from service.store.models import Base

ONE_AT_A_TIME = 7_024_313
"""The advisory lock that a migrating process holds."""
LOCK_WAIT = "5s"


def render_item(kind: str, item: Any, autogenerate: Any) -> str | bool:
    """Migrations name the plain type: they must still run when the code's own types have changed."""
    return "sa.DateTime(timezone=True)" if kind == "type" and isinstance(item, UtcDateTime) else False


def configure(connection: Connection, **options: Any) -> None:
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_item=render_item,
        # Checks are compared by name only: give one that says something else another name.
        autogenerate_plugins=["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"],
        **options,
    )


def migrate_sqlite(url: URL) -> None:
    Path(url.database or "").parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(url, poolclass=pool.NullPool, connect_args={"timeout": 60})

    @event.listens_for(engine, "connect")
    def settle(dbapi: Any, _: Any) -> None:
        dbapi.isolation_level = None
        dbapi.execute("PRAGMA journal_mode=WAL")
        dbapi.execute("PRAGMA foreign_keys=OFF")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    with engine.connect() as connection, connection.begin():
        configure(connection, render_as_batch=True, transactional_ddl=True)
        context.run_migrations()
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        if broken:
            raise RuntimeError(f"{len(broken)} rows would refer to nothing, the first in {broken[0][0]}; nothing was changed")


def migrate_postgresql(url: URL) -> None:
    engine = create_engine(url.set(drivername="postgresql+psycopg"), poolclass=pool.NullPool)
    with engine.connect() as connection, alone(connection):
        configure(connection, transaction_per_migration=True)
        with context.begin_transaction():
            context.run_migrations()


@contextmanager
def alone(connection: Connection) -> Iterator[None]:
    """Holds the lock over all migrations, each of which is a transaction of its own; closing the connection ends it."""
    connection.exec_driver_sql(f"SELECT pg_advisory_lock({ONE_AT_A_TIME})")
    connection.exec_driver_sql(f"SET lock_timeout = '{LOCK_WAIT}'")
    connection.commit()
    yield


url = make_url(context.config.attributes.get("url") or Settings.from_environment().database_url)
if url.get_backend_name() == "sqlite":
    migrate_sqlite(url)
else:
    migrate_postgresql(url)
