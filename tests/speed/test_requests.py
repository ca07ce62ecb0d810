"""What a request costs the server, in processor time, beside the least that Flask and SQLAlchemy can do the same thing with.

Both sides answer in this process, over databases of the same kind, by turns; the ratio of the medians is what counts, since the
machine's speed is in both. The bare side checks no key, no shape and no version and has the same row to read and write, through
a session that is made once a request. A POST with an Idempotency-Key, whose answer is kept, is shown beside it without a goal.
"""

import itertools
import statistics
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import orjson
import pytest
import sqlalchemy as sa
from flask import Flask, Response, request
from sqlalchemy.orm import Session
from statements import statements

from service.api.app import create_app
from service.config import Settings
from service.store.database import Database
from service.store.models import Room
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.vocabulary import KeyScope

# Goals are for a quiet machine; the test fails only where something has gone badly wrong.
GOALS = {"GET": 1.3, "POST": 1.5, "list of 100": 1.5}
ALLOWED = {kind: 3 * goal for kind, goal in GOALS.items()}
ROUNDS, REQUESTS = 15, 40
ROOM = {"name": "Front room", "ceiling_height_mm": 2700}

Turn = tuple[Callable[[], Any], Callable[[], Any]]
"""How to ask ours, and how to ask the bare one."""


def bare(database: Database) -> Flask:
    """Reads and writes rooms with nothing around them."""
    app = Flask("bare")
    versions = itertools.count(1_000_000)
    columns = Room.__table__.columns.keys()

    def shown(row: Room) -> dict[str, Any]:
        return {name: getattr(row, name) for name in columns}

    @app.get("/rooms/<uuid:id>")
    def get_room(id: uuid.UUID) -> Response:
        with Session(database.engine) as session:
            return Response(orjson.dumps(shown(session.get_one(Room, id))), content_type="application/json")

    @app.get("/rooms")
    def list_rooms() -> Response:
        with Session(database.engine) as session:
            rows = session.scalars(sa.select(Room).order_by(Room.position, Room.id).limit(100))
            return Response(orjson.dumps({"items": [shown(row) for row in rows]}), content_type="application/json")

    @app.post("/rooms/<uuid:like>")
    def post_room(like: uuid.UUID) -> Response:
        with Session(database.engine) as session, session.begin():
            values = shown(session.get_one(Room, like))
            row = Room(**{**values, **orjson.loads(request.get_data()), "id": uuid.uuid4(), "version": next(versions)})
            session.add(row)
            session.flush()
            return Response(orjson.dumps(shown(row)), 201, content_type="application/json")

    return app


@pytest.fixture
def sides(sqlite_template: Path, tmp_path: Path) -> Iterator[dict[str, Database]]:
    databases = {}
    for name in ("ours", "bare"):
        copy = tmp_path / f"{name}.sqlite"
        copy.write_bytes(sqlite_template.read_bytes())
        databases[name] = Database(f"sqlite:///{copy}")
    yield databases
    for database in databases.values():
        database.close()


@pytest.fixture
def turns(sides: dict[str, Database]) -> dict[str, Turn]:
    """For each kind of request, how to ask ours and how to ask the bare one."""
    ours = create_app(Settings(log_level="ERROR"), sides["ours"]).test_client()
    seeds = {}
    for name, database in sides.items():
        client = create_app(Settings(log_level="ERROR"), database).test_client()
        secret = create_key(database, create_account(database, "Invented Linings").id, tuple(KeyScope), "speed")[1]
        key = {"Authorization": f"Bearer {secret}"}
        project = client.post("/v1/projects", json={}, headers=key).json["id"]
        rooms = [client.post(f"/v1/projects/{project}/rooms", json=ROOM, headers=key).json["id"] for _ in range(100)]
        seeds[name] = (key, project, rooms[0])
    key, project, room = seeds["ours"]
    plain, other = bare(sides["bare"]).test_client(), seeds["bare"][2]

    def post(**more: str) -> Any:
        return ours.post(f"/v1/projects/{project}/rooms", json=ROOM, headers={**key, **more})

    def bare_post() -> Any:
        return plain.post(f"/rooms/{other}", json=ROOM)

    return {
        "GET": (lambda: ours.get(f"/v1/rooms/{room}", headers=key), lambda: plain.get(f"/rooms/{other}")),
        "list of 100": (
            lambda: ours.get(f"/v1/projects/{project}/rooms?limit=100", headers=key),
            lambda: plain.get("/rooms"),
        ),
        "POST": (post, bare_post),
        "keyed POST": (lambda: post(**{"Idempotency-Key": str(uuid.uuid4())}), bare_post),
    }


def milliseconds(ask: Callable[[], Any]) -> float:
    began = time.process_time()
    for _ in range(REQUESTS):
        assert ask().status_code in (200, 201)
    return (time.process_time() - began) * 1000 / REQUESTS


def counted(database: Database, ask: Callable[[], Any]) -> int:
    with statements(database) as seen:
        ask()
    return len(seen)


def test_a_request_costs_little_more_than_the_least_it_could(turns: dict[str, Turn], sides: dict[str, Database]) -> None:
    found = {}
    for kind, (ours, bare_one) in turns.items():
        milliseconds(ours), milliseconds(bare_one)
        asked, least_asked = counted(sides["ours"], ours), counted(sides["bare"], bare_one)
        rounds = [(milliseconds(ours), milliseconds(bare_one)) for _ in range(ROUNDS)]
        spent, least = (statistics.median(times) for times in zip(*rounds, strict=True))
        found[kind] = spent / least
        goal = f" (goal {GOALS[kind]})" if kind in GOALS else ""
        print(f"\n{kind:12} {spent:6.2f} ms, bare {least:5.2f} ms: {spent / least:4.2f} times{goal}", end="")
        print(f"; {asked} statements, bare {least_asked}", end="")
    assert {kind: found[kind] for kind in ALLOWED if found[kind] > ALLOWED[kind]} == {}
