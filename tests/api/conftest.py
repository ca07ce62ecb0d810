"""An app over a fresh database, accounts with keys, and clients that hold every answer to the document."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from api_contract import Contract, ContractClient
from flask import Flask

from service.api.app import create_app
from service.api.document import openapi_document
from service.config import Settings
from service.store.database import Database
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.vocabulary import KeyScope


@pytest.fixture(scope="session")
def settings() -> Settings:
    return Settings(log_level="ERROR")


@pytest.fixture(scope="session")
def _app_and_contract(settings: Settings) -> tuple[Flask, Contract]:
    """One app for all tests: making it costs a second, and all it keeps of a request is its database."""
    app = create_app(settings, None)  # each test brings its own
    app.test_client_class = ContractClient
    contract = Contract(openapi_document(app))
    ContractClient.contract = contract
    return app, contract


@pytest.fixture
def app(_app_and_contract: tuple[Flask, Contract], sqlite_database: Database) -> Iterator[Flask]:
    app, _ = _app_and_contract
    app.extensions["database"] = sqlite_database
    yield app
    app.extensions["database"] = None


@pytest.fixture(scope="session")
def contract(_app_and_contract: tuple[Flask, Contract]) -> Contract:
    return _app_and_contract[1]


@pytest.fixture
def account(sqlite_database: Database) -> UUID:
    return create_account(sqlite_database, "Invented Linings").id


@pytest.fixture
def other_account(sqlite_database: Database) -> UUID:
    return create_account(sqlite_database, "Made-up Merchants").id


@pytest.fixture
def key_for(sqlite_database: Database) -> Callable[..., str]:
    """Makes a key of an account with some scopes; all of them unless told."""

    def make(account_id: UUID, *scopes: KeyScope) -> str:
        return create_key(sqlite_database, account_id, scopes or tuple(KeyScope), "test")[1]

    return make


@pytest.fixture
def client(app: Flask, account: UUID, key_for: Callable[..., str]) -> ContractClient:
    """Sends a key with every scope."""
    made = app.test_client()
    assert isinstance(made, ContractClient)
    made.key = key_for(account)
    return made


@pytest.fixture
def stranger(app: Flask, other_account: UUID, key_for: Callable[..., str]) -> ContractClient:
    """Somebody else, with every scope in their own account."""
    made = app.test_client()
    assert isinstance(made, ContractClient)
    made.key = key_for(other_account)
    return made


@pytest.fixture
def anyone(app: Flask) -> ContractClient:
    """Sends no key."""
    made = app.test_client()
    assert isinstance(made, ContractClient)
    return made


@pytest.fixture
def ids(client: ContractClient, survey: dict[str, Any]) -> dict[str, str]:
    """One of everything in the account, by the names that paths give their ids."""
    return one_of_everything(client, survey)


def one_of_everything(client: ContractClient, survey: dict[str, Any]) -> dict[str, str]:
    """One of everything in the account, by the names that paths give their ids."""
    project = client.post("/v1/projects", json={"reference": "INV-1", "survey": survey}).json["id"]
    room = client.get(f"/v1/projects/{project}/survey").json["rooms"][0]
    wall = room["walls"][0]
    catalogue = client.post("/v1/catalogues", json={"name": "Counter range"}).json["id"]
    item = {"sku": "INV-3000", "component": "c_stud", "length_mm": 3000}
    takeoff = client.post(f"/v1/projects/{project}/takeoffs", json={}).json["id"]
    client.put(f"/v1/takeoffs/{takeoff}/confirmation")
    return {
        "project_id": project,
        "room_id": room["id"],
        "wall_id": wall["id"],
        "opening_id": wall["openings"][0]["id"],
        "feature_id": wall["features"][0]["id"],
        "specification_id": client.post("/v1/specifications", json={"name": "Usual"}).json["id"],
        "catalogue_id": catalogue,
        "item_id": client.post(f"/v1/catalogues/{catalogue}/items", json=item).json["id"],
        "material_id": client.post("/v1/materials", json={"name": "Wool", "conductivity_w_mk": 0.035}).json["id"],
        "takeoff_id": takeoff,
        "offcut_id": client.post("/v1/offcuts", json={"component": "u_channel", "length_mm": 1400}).json["id"],
        "other_id": takeoff,
        "key_id": client.post("/v1/keys", json={"name": "Tablet", "scopes": ["read"]}).json["id"],
    }


@pytest.fixture
def start_afresh(
    app: Flask, sqlite_template: Path, tmp_path: Path, survey: dict[str, Any]
) -> Iterator[Callable[[], tuple[ContractClient, dict[str, str]]]]:
    """Puts the app on a database of one account with one of everything, as often as it is called; gives a client and the ids."""
    opened: list[Database] = []

    def start() -> tuple[ContractClient, dict[str, str]]:
        copy = shutil.copy(sqlite_template, tmp_path / f"start-{len(opened)}.sqlite")
        opened.append(Database(f"sqlite:///{copy}"))
        app.extensions["database"] = opened[-1]
        client = app.test_client()
        assert isinstance(client, ContractClient)
        client.key = create_key(opened[-1], create_account(opened[-1], "Invented Linings").id, tuple(KeyScope), "test")[1]
        return client, one_of_everything(client, survey)

    yield start
    for database in opened:
        database.close()


@pytest.fixture
def survey() -> dict[str, Any]:
    """An invented front room: one lined wall with a window and a socket, one unlined wall."""
    window = {"kind": "window", "offset_mm": 1200, "width_mm": 1200, "sill_mm": 900, "height_mm": 1200, "reveal_depth_mm": 150}
    walls = [
        {"length_mm": 4200, "openings": [window], "features": [{"kind": "socket", "x_mm": 400, "y_mm": 450}]},
        {"length_mm": 3600, "lined": False},
    ]
    return {"rooms": [{"name": "Front room", "ceiling_height_mm": 2700, "walls": walls}]}
