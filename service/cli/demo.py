"""The demonstration: an invented project, served and taken off over HTTP like anyone else's."""

import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
from http.client import HTTPConnection
from importlib.resources import files
from pathlib import Path
from typing import Any

import click
import orjson

from service.config import Settings
from service.render.text import takeoff_text
from service.store import schema
from service.store.opening import open_database
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.vocabulary import KeyScope, TakeoffPart

HOST = "127.0.0.1"
START_SECONDS = 30


def run_demo(*, once: bool, port: int) -> int:
    """Makes a database, serves it, asks for the invented project's takeoff, shows it; then serves on unless `once`.

    Returns: the exit status, 0 when the takeoff was made.
    """
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # told to end, it takes its server and its folder with it
    with tempfile.TemporaryDirectory(prefix="lining-demo-") as folder:
        settings = Settings(database_url=os.environ.get("DATABASE_URL", ""), data_dir=Path(folder))
        schema.upgrade(settings.database_url)
        database = open_database(settings)
        name = f"Invented demonstration {time.time_ns():x}"
        account = create_account(database, name)
        _, key = create_key(database, account.id, [KeyScope.READ, KeyScope.WRITE, KeyScope.TAKEOFF], "demonstration")
        port = port or _free_port()
        environment = {**os.environ, "DATABASE_URL": settings.database_url, "SERVICE_LOG_LEVEL": "ERROR"}
        command = [sys.executable, "-m", "service", "serve", "--host", HOST, "--port", str(port)]
        server = subprocess.Popen(command, env=environment, cwd=Path(__file__).parents[2])
        try:
            _wait_until_ready(port, server)
            _show(port, key)
            if not once:
                _serve_on(port, key, server)
        except KeyboardInterrupt:
            click.echo("\nStopped.", err=True)
        finally:
            server.terminate()
            server.wait()
    return 0


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return int(probe.getsockname()[1])


def _wait_until_ready(port: int, server: "subprocess.Popen[bytes]") -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        if server.poll() is not None:
            raise click.ClickException("The server ended before it was ready.")
        try:
            if _ask(port, "GET", "/readyz")[0] == 200:
                return
        except OSError:
            time.sleep(0.1)
    raise click.ClickException(f"The server was not ready within {START_SECONDS} seconds.")


def _ask(port: int, method: str, path: str, body: Any = None, key: str | None = None) -> tuple[int, Any]:
    connection = HTTPConnection(HOST, port, timeout=60)
    headers = {"Accept": "application/json", "Content-Type": "application/json"}
    if key:
        headers["Authorization"] = f"Bearer {key}"
    connection.request(method, path, None if body is None else orjson.dumps(body), headers)
    answer = connection.getresponse()
    content = answer.read()
    connection.close()
    return answer.status, orjson.loads(content) if content else None


def _show(port: int, key: str) -> None:
    """Saves the invented project, takes it off, prints what a fitter and a buyer want to see."""
    project_body, specification = (_kept(name) for name in ("demo_project.json", "demo_specification.json"))
    lining = _expect(201, *_ask(port, "POST", "/v1/specifications", specification, key))
    project_body["specification_id"] = lining["id"]
    project = _expect(201, *_ask(port, "POST", "/v1/projects", project_body, key))
    wanted = ",".join(TakeoffPart)
    takeoff = _expect(201, *_ask(port, "POST", f"/v1/projects/{project['id']}/takeoffs?include={wanted}", {}, key))
    survey = _expect(200, *_ask(port, "GET", f"/v1/projects/{project['id']}/survey", key=key))
    click.echo(takeoff_text(takeoff, survey, title=project_body["name"]))


def _kept(name: str) -> Any:
    return orjson.loads(files("service.cli").joinpath(name).read_bytes())


def _expect(status: int, got: int, body: Any) -> Any:
    if got != status:
        raise click.ClickException(f"Expected {status}, got {got}: {orjson.dumps(body, option=orjson.OPT_INDENT_2).decode()}")
    return body


def _serve_on(port: int, key: str, server: "subprocess.Popen[bytes]") -> None:
    click.echo(f"Serving on. Stop with Ctrl-C.\n\nexport BASE_URL=http://{HOST}:{port}\nexport API_KEY={key}")
    sys.stdout.flush()
    server.wait()
