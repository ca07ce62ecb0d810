"""What a connection is set to, and what the database's failures mean to a caller."""

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone
from uuid import UUID

import pytest
from sqlalchemy import text, update
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.config import Settings
from service.errors import Conflict, Unavailable
from service.store.clock import now
from service.store.database import Database
from service.store.models import Account, ApiKey
from service.store.opening import open_database


def _account(name: str) -> Account:
    return Account(id=uuid7(), name=name, created_at=now())


def test_sqlite_is_set_up_for_many_processes(sqlite_database: Database) -> None:
    expected = {"journal_mode": "wal", "synchronous": 1, "busy_timeout": 10_000, "foreign_keys": 1, "temp_store": 2}
    with sqlite_database.read() as session:
        found = {name: session.execute(text(f"PRAGMA {name}")).scalar_one() for name in expected}
    assert found == expected


def test_postgresql_bounds_what_a_request_may_hold_up(postgresql_url: str) -> None:
    database = Database(postgresql_url, statement_milliseconds=7_000, lock_milliseconds=2_000)
    names = ("statement_timeout", "lock_timeout", "idle_in_transaction_session_timeout", "TimeZone", "transaction_isolation")
    with database.read() as session:
        reading = [session.execute(text("SELECT current_setting(:name)"), {"name": name}).scalar_one() for name in names]
        assert session.execute(text("SELECT current_setting('transaction_read_only')")).scalar_one() == "on"
    with database.write() as session:
        writing = session.execute(text("SELECT current_setting('transaction_isolation')")).scalar_one()
    database.close()
    assert reading == ["7s", "2s", "30s", "UTC", "repeatable read"]
    assert writing == "read committed"


def test_a_reader_sees_one_state_throughout(database: Database, account: UUID) -> None:
    with database.read() as session:
        before = session.execute(text("SELECT count(*) FROM accounts")).scalar_one()
        with database.write() as other:
            other.add(_account("Meanwhile"))
        assert session.execute(text("SELECT count(*) FROM accounts")).scalar_one() == before
    with database.read() as session:
        assert session.execute(text("SELECT count(*) FROM accounts")).scalar_one() == before + 1


def test_a_write_that_raises_leaves_nothing(database: Database) -> None:
    with pytest.raises(ZeroDivisionError), database.write() as session:
        session.add(_account("Half"))
        session.flush()
        raise ZeroDivisionError
    with database.read() as session:
        assert session.execute(text("SELECT count(*) FROM accounts")).scalar_one() == 0


def test_two_who_read_then_write_lose_no_update(database: Database, account: UUID) -> None:
    """The read locks the row (PostgreSQL) or the database (SQLite), so the sum is exact."""
    with database.write() as session:
        session.get_one(Account, account).name = "0"

    def add_one(session: Session) -> None:
        row = session.get_one(Account, account, with_for_update=True)
        row.name = str(int(row.name) + 1)

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(lambda _: [database.transact(add_one) for _ in range(15)], range(4)))
    with database.read() as session:
        assert session.get_one(Account, account).name == "60"


def test_a_deadlock_is_run_again(postgresql_url: str) -> None:
    database = Database(postgresql_url)
    first, second = _account("First"), _account("Second")
    ids = [first.id, second.id]
    with database.write() as session:
        session.add_all([first, second])
    met, runs = threading.Barrier(2), []

    def rename(session: Session, order: list[UUID], name: str) -> None:
        runs.append(name)
        session.execute(update(Account).where(Account.id == order[0]).values(created_at=now()))
        if len(runs) <= 2:
            met.wait(timeout=10)  # both hold one row and want the other's
        session.execute(update(Account).where(Account.id == order[1]).values(created_at=now()))

    with ThreadPoolExecutor(2) as threads:
        done = [threads.submit(database.transact, rename, order, str(n)) for n, order in enumerate((ids, ids[::-1]))]
        for each in done:
            each.result(timeout=30)
    database.close()
    assert len(runs) > 2


def test_the_same_unique_value_at_the_same_moment_is_a_conflict(database: Database) -> None:
    with database.write() as session:
        session.add(_account("Taken"))
    with pytest.raises(Conflict), database.write() as session:
        session.add(_account("Taken"))


def test_what_only_a_fault_of_the_program_can_cause_stays_an_error(database: Database) -> None:
    with pytest.raises(IntegrityError), database.write() as session:
        session.add(ApiKey(id=uuid7(), account_id=uuid7(), name="x", prefix="x", secret_sha256="x", scopes=[], created_at=now()))
    with pytest.raises(IntegrityError), database.write() as session:
        session.add(_account(""))
    with pytest.raises(DBAPIError, match="no_such_table"), database.read() as session:
        session.execute(text("SELECT * FROM no_such_table"))


def test_a_database_that_stays_busy_is_unavailable_for_now(database_url: str) -> None:
    database = Database(database_url, sqlite_busy_seconds=0, lock_milliseconds=50)
    with database.write() as session:
        account = _account("Held")
        session.add(account)

    def rename(session: Session) -> None:
        session.get_one(Account, account.id, with_for_update=True).name = "Renamed"

    with database.write() as holder:
        holder.get_one(Account, account.id, with_for_update=True)
        with pytest.raises(Unavailable):
            database.transact(rename)
    database.transact(rename)
    database.close()


def test_a_server_that_is_not_there_is_unavailable() -> None:
    database = Database("postgresql://nobody@127.0.0.1:1/nothing", connect_seconds=1)
    with pytest.raises(Unavailable), database.read() as session:
        session.execute(text("SELECT 1"))


def test_a_moment_keeps_its_zone_and_microseconds(database: Database, account: UUID) -> None:
    moment = datetime(2031, 5, 1, 14, 0, 0, 123456, tzinfo=timezone(timedelta(hours=2)))
    with database.write() as session:
        session.get_one(Account, account).created_at = moment
    with database.read() as session:
        read = session.get_one(Account, account).created_at
    assert (read, read.tzinfo) == (datetime(2031, 5, 1, 12, 0, 0, 123456, tzinfo=UTC), UTC)
    with pytest.raises(Exception, match="time zone"), database.write() as session:
        session.get_one(Account, account).created_at = datetime(2031, 5, 1)
    with database.read() as session:
        assert session.get_one(Account, account).created_at == moment


def test_settings_open_the_database_that_they_name(sqlite_url: str) -> None:
    database = open_database(Settings(database_url=sqlite_url, sqlite_synchronous="FULL"))
    with database.read() as session:
        assert session.execute(text("PRAGMA synchronous")).scalar_one() == 2
    database.close()
    with pytest.raises(ValueError, match="file"):
        Database("sqlite://")
