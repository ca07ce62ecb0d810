"""The service as it runs in earnest: gunicorn, a worker process, a socket; on both databases. And a client generated for it.

Every answer is held to the kept document, whoever asked.
"""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import httpx
import psycopg
import pytest
from api_contract import Contract
from sqlalchemy.engine import make_url
from weather import Caller, Service, serving

from service.store.database import Database
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.vocabulary import KeyScope

ROOT = Path(__file__).parents[2]
KEPT_DOCUMENT = ROOT / "openapi" / "openapi.json"
START_SECONDS = 30


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def engine_url(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A database for all journeys on this engine: each journey begins with an account of its own, like any customer's."""
    if request.param == "sqlite":
        copy = shutil.copy(request.getfixturevalue("sqlite_template"), tmp_path_factory.mktemp("journeys") / "service.sqlite")
        yield f"sqlite:///{copy}"
        return
    server, template = request.getfixturevalue("postgresql_server"), request.getfixturevalue("postgresql_template")
    name = f"journeys_{uuid.uuid4().hex}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {template}")
        yield make_url(server).set(database=name).render_as_string(hide_password=False)
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def base_url(engine_url: str) -> Iterator[str]:
    """Where the service answers."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    environment = {**os.environ, "DATABASE_URL": engine_url, "SERVICE_LOG_LEVEL": "WARNING"}
    command = [sys.executable, "-m", "gunicorn", "service.wsgi:app", "-b", f"127.0.0.1:{port}", "--no-control-socket"]
    command += ["-k", "gthread", "--threads", "4", "--log-level", "warning"]
    server = subprocess.Popen(command, cwd=ROOT, env=environment)
    url = f"http://127.0.0.1:{port}"
    try:
        _wait_until_ready(url, server)
        yield url
    finally:
        server.terminate()
        assert server.wait(20) == 0, "the service ends in good order"


def _wait_until_ready(url: str, server: "subprocess.Popen[bytes]") -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        assert server.poll() is None, "the service ended before it was ready"
        try:
            if httpx.get(f"{url}/readyz").status_code == 200:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.05)
    raise AssertionError(f"the service was not ready within {START_SECONDS} seconds")


@pytest.fixture(scope="session")
def contract() -> Contract:
    return Contract(json.loads(KEPT_DOCUMENT.read_text()))


@pytest.fixture
def caller(base_url: str, engine_url: str, contract: Contract) -> Iterator[Callable[..., httpx.Client]]:
    """Makes a new account and gives an HTTP client with its key."""
    database = Database(engine_url)
    opened: list[httpx.Client] = []

    def make(name: str, *scopes: KeyScope) -> httpx.Client:
        account = create_account(database, f"{name} {uuid.uuid4()}")
        _, secret = create_key(database, account.id, scopes or tuple(KeyScope), "journey")
        hooks = {"response": [contract.check_httpx]}
        key = {"Authorization": f"Bearer {secret}"}
        client = httpx.Client(base_url=base_url, headers=key, timeout=60, event_hooks=hooks)
        opened.append(client)
        return client

    yield make
    for client in opened:
        client.close()
    database.close()


@pytest.fixture(scope="session")
def weather_url(postgresql_server: str, postgresql_template: str) -> Iterator[str]:
    name = f"weather_{uuid.uuid4().hex}"
    with psycopg.connect(postgresql_server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {postgresql_template}")
        yield make_url(postgresql_server).set(database=name).render_as_string(hide_password=False)
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def service(weather_url: str) -> Iterator[Service]:
    with serving(weather_url) as running:
        yield running


@pytest.fixture
def opened(service: Service, weather_url: str, contract: Contract) -> Iterator[Callable[[str, dict[str, float], int], Caller]]:
    """Opens a new account for a caller in some weather."""
    database = Database(weather_url)
    callers: list[Caller] = []

    def make(name: str, weather: dict[str, float], seed: int) -> Caller:
        account = create_account(database, f"{name} {uuid.uuid4()}")
        _, secret = create_key(database, account.id, tuple(KeyScope), "journey")
        callers.append(Caller(service, secret, weather, seed, contract.check_httpx))
        return callers[-1]

    yield make
    for caller in callers:
        caller.__exit__()
    database.close()


@pytest.fixture(scope="session")
def generated(tmp_path_factory: pytest.TempPathFactory) -> ModuleType:
    """A client generated from the kept document, unedited."""
    folder = tmp_path_factory.mktemp("generated") / "tests"  # by this name hypothesis knows that its constants mean nothing
    folder.mkdir()
    config = folder / "config.yaml"
    config.write_text("post_hooks: []\n")
    command = [sys.executable, "-m", "openapi_python_client", "generate", "--meta", "none", "--config", str(config)]
    command += ["--path", str(KEPT_DOCUMENT), "--output-path", str(folder / "generated_takeoff_client")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr, done.stdout + done.stderr
    sys.path.insert(0, str(folder))
    import generated_takeoff_client

    return generated_takeoff_client


@pytest.fixture
def house() -> dict[str, Any]:
    """An invented ground floor of two rooms: a bay with a door, a back room closed all round with an external corner."""
    window = {"kind": "window", "offset_mm": 700, "width_mm": 1200, "sill_mm": 850, "height_mm": 1350, "reveal_depth_mm": 120}
    door = {"kind": "door", "offset_mm": 2600, "width_mm": 800, "sill_mm": 0, "height_mm": 2000}
    socket_outlet = {"kind": "socket", "x_mm": 300, "y_mm": 450}
    front = [
        {"name": "Left of the bay", "length_mm": 900, "corner_deg": 225},
        {"name": "Bay", "length_mm": 2600, "corner_deg": 225, "openings": [window]},
        {"name": "Right of the bay", "length_mm": 3700, "openings": [door], "features": [socket_outlet]},
    ]
    # 4000 × 3000 with a corner of 1000 × 800 built in: turns 90, 90, 90, 270, 90, 90 degrees; it closes.
    back = [
        {"name": "Garden wall", "length_mm": 4000, "openings": [window]},
        {"length_mm": 3000, "lined": False},
        {"length_mm": 3000, "lined": False},
        {"name": "Built-in corner, side", "length_mm": 800, "corner_deg": 270},
        {"name": "Built-in corner, front", "length_mm": 1000},
        {"name": "Gable", "length_mm": 2200},
    ]
    return {
        "rooms": [
            {"name": "Front room", "ceiling_height_mm": 2700, "walls": front},
            {"name": "Back room", "ceiling_height_mm": 2400, "closed": True, "floor": "concrete", "walls": back},
        ]
    }
