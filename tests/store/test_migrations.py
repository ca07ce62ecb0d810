"""Up, down and up again; models and migrations say the same; a batch migration loses no child rows."""

import os
import re
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import psycopg
import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine, func, inspect, select, text
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.store import schema
from service.store.clock import now
from service.store.database import Database
from service.store.models import Account, Base, Result, ResultPart
from service.store.schema import SchemaDiffers

TABLES = set(Base.metadata.tables)


TOLD = ("columns", "pk_constraint", "foreign_keys", "indexes", "unique_constraints", "check_constraints")


def described(url: str) -> dict[str, Any]:
    """Every table with its columns, keys, indexes and CHECKs as the database itself tells them."""
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    inspector = inspect(engine)
    tables = [name for name in inspector.get_table_names() if name != "alembic_version"]
    found = {table: {part: _plain(getattr(inspector, f"get_{part}")(table)) for part in TOLD} for table in tables}
    engine.dispose()
    return found


def _plain(told: Any) -> Any:
    """Comparable: what comes in no certain order is sorted, and types and conditions are their text."""
    if isinstance(told, dict):
        return {key: _plain(value) for key, value in told.items()}
    if isinstance(told, list):
        return sorted((_plain(each) for each in told), key=str)
    return " ".join(str(told).split())


def test_up_down_and_up_again(empty_database_url: str) -> None:
    url = empty_database_url
    database = Database(url)
    assert schema.revision_of(database) is None
    schema.upgrade(url)
    assert schema.revision_of(database) == schema.newest_revision()
    first = described(url)
    assert set(first) == TABLES
    schema.check(url)
    schema.downgrade(url, "base")
    assert described(url) == {}
    schema.upgrade(url)
    schema.upgrade(url)
    assert described(url) == first
    schema.check(url)
    database.close()


def test_migrations_make_what_the_models_say_to_the_letter_of_each_check(
    database_url: str, empty_sqlite_url: str, empty_postgresql_url: str
) -> None:
    """`check` compares CHECKs by name only; this compares what they say."""
    url = empty_sqlite_url if database_url.startswith("sqlite") else empty_postgresql_url
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    Base.metadata.create_all(engine)
    engine.dispose()
    migrated, modelled = described(database_url), described(url)
    assert migrated == modelled
    checks = [check for table in modelled.values() for check in table["check_constraints"]]
    assert len(checks) >= 50


@pytest.mark.parametrize(
    "change",
    [
        "ALTER TABLE rooms ADD COLUMN surplus INTEGER",
        "DROP INDEX uq_projects_reference",
        "DELETE FROM alembic_version",
        pytest.param("ALTER TABLE walls DROP CONSTRAINT ck_walls_length_mm_allowed", id="drop a CHECK"),
    ],
)
def test_a_schema_that_differs_is_noticed(postgresql_url: str, change: str) -> None:
    engine = create_engine(postgresql_url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(text(change))
    engine.dispose()
    with pytest.raises(SchemaDiffers):
        schema.check(postgresql_url)


SCRATCH = """
import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "scratch", "{after}", None, None
RECREATE = "always" if op.get_context().dialect.name == "sqlite" else "never"


def upgrade() -> None:
    {body}


def downgrade() -> None:
    with op.batch_alter_table("results", recreate=RECREATE) as table:
        table.drop_column("scratch")
"""
ADD_A_COLUMN = """with op.batch_alter_table("results", recreate=RECREATE) as table:
        table.add_column(sa.Column("scratch", sa.Integer(), nullable=False, server_default="7"))"""
LEAVE_ORPHANS = 'op.execute("DELETE FROM results")'


@pytest.fixture
def scratch(tmp_path: Path) -> Path:
    """The project's own migrations with its own env.py, in a folder to which a test may add one."""
    folder = tmp_path / "migrations"
    shutil.copytree(schema.PROJECT / "migrations", folder, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


def with_another(folder: Path, url: str, body: str) -> Config:
    (folder / "versions" / "scratch.py").write_text(SCRATCH.format(after=schema.newest_revision(), body=body))
    config = Config()
    config.set_main_option("script_location", str(folder))
    config.attributes["url"] = url
    return config


@pytest.fixture
def result_with_parts(database: Database) -> None:
    """A parent row with children that a delete would take along."""
    account = Account(id=uuid7(), name="Invented Linings", created_at=now())
    result = Result(id=uuid7(), account_id=account.id, digest="d", engine_version="1", created_at=now(), summary={})
    with database.write() as session:
        session.add(account)
        session.flush()
        session.add(result)
        session.flush()
        session.add_all(ResultPart(result_id=result.id, part="layouts", key=str(n), body=b"{}") for n in range(3))


def _parts(session: Session) -> int:
    return session.scalar(select(func.count()).select_from(ResultPart)) or 0


@pytest.mark.usefixtures("result_with_parts")
def test_a_batch_migration_keeps_the_rows_of_child_tables(database: Database, database_url: str, scratch: Path) -> None:
    config = with_another(scratch, database_url, ADD_A_COLUMN)
    for run, revision in ((command.upgrade, "scratch"), (command.downgrade, schema.newest_revision()), (command.upgrade, "head")):
        database.close()
        run(config, revision)
        with database.read() as session:
            assert _parts(session) == 3
    with database.read() as session:
        assert session.execute(text("SELECT scratch FROM results")).scalars().all() == [7]


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
@pytest.mark.usefixtures("result_with_parts")
def test_the_same_batch_with_foreign_keys_on_would_lose_them(database: Database, database_url: str, scratch: Path) -> None:
    """Shows that the test above can fail, and why migrations have an engine of their own."""
    environment = (scratch / "env.py").read_text()
    assert environment.count("foreign_keys=OFF") == 1
    (scratch / "env.py").write_text(environment.replace("foreign_keys=OFF", "foreign_keys=ON"))
    command.upgrade(with_another(scratch, database_url, ADD_A_COLUMN), "head")
    with database.read() as session:
        assert _parts(session) == 0


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
@pytest.mark.usefixtures("result_with_parts")
def test_a_migration_that_leaves_orphans_is_undone(database: Database, database_url: str, scratch: Path) -> None:
    config = with_another(scratch, database_url, LEAVE_ORPHANS)
    with pytest.raises(RuntimeError, match="result_parts"):
        command.upgrade(config, "head")
    assert schema.revision_of(database) == schema.newest_revision()
    with database.read() as session:
        assert session.scalar(select(func.count()).select_from(Result)) == 1


def test_processes_that_start_together_migrate_once(empty_database_url: str) -> None:
    program = "import sys; from service.store import schema; schema.upgrade(sys.argv[1])"
    command_line = [sys.executable, "-c", program, empty_database_url]
    starting = [subprocess.Popen(command_line, stderr=subprocess.PIPE, text=True, cwd=schema.PROJECT) for _ in range(3)]
    for process in starting:
        _, errors = process.communicate(timeout=60)
        assert process.returncode == 0, errors
    schema.check(empty_database_url)


def test_a_migration_waits_for_the_one_that_runs(empty_postgresql_url: str) -> None:
    number = re.search(r"^ONE_AT_A_TIME = ([0-9_]+)$", (schema.PROJECT / "migrations" / "env.py").read_text(), re.MULTILINE)
    assert number is not None
    waiting = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted"
    with psycopg.connect(empty_postgresql_url, autocommit=True) as holder, ThreadPoolExecutor(1) as thread:
        holder.execute(f"SELECT pg_advisory_lock({int(number[1])})")
        migrating = thread.submit(schema.upgrade, empty_postgresql_url)
        give_up = time.monotonic() + 30
        while holder.execute(waiting).fetchone() != (1,):
            assert time.monotonic() < give_up
            assert not migrating.done()
        assert described(empty_postgresql_url) == {}
        holder.execute("SELECT pg_advisory_unlock_all()")
        migrating.result(timeout=30)
    assert set(described(empty_postgresql_url)) == TABLES


def test_the_command_line_needs_only_pyproject(sqlite_url: str) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "alembic", "check"],
        cwd=schema.PROJECT,
        env={**os.environ, "DATABASE_URL": sqlite_url},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert "No new upgrade operations" in run.stdout


def test_migration_files_sort_in_the_order_they_run() -> None:
    files = sorted(path.stem for path in (schema.PROJECT / "migrations" / "versions").glob("*.py"))
    revisions = []
    for name in files:
        moment, revision, said = name.split("_", 2)
        assert len(moment) == 12
        assert moment.isdigit()
        assert said
        revisions.append(revision)
    assert revisions[-1] == schema.newest_revision()
