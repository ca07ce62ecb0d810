"""Accounts, and a small survey with figures that are easy to tell apart."""

from typing import Any
from uuid import UUID

import pytest

from service.store.database import Database
from service.usecases.create_account import create_account
from service.usecases.read_survey import read_survey


@pytest.fixture
def account(database: Database) -> UUID:
    return create_account(database, "Invented Linings").id


@pytest.fixture
def other_account(database: Database) -> UUID:
    return create_account(database, "Made-up Merchants").id


@pytest.fixture
def survey() -> dict[str, object]:
    """One room, two walls, a window and a socket in the first."""
    return {
        "rooms": [
            {
                "name": "Front room",
                "ceiling_height_mm": 2700,
                "walls": [
                    {
                        "length_mm": 4200,
                        "openings": [{"kind": "window", "offset_mm": 1200, "width_mm": 1200, "sill_mm": 900, "height_mm": 1200}],
                        "features": [{"kind": "socket", "x_mm": 400, "y_mm": 450}],
                    },
                    {"length_mm": 3600, "lined": False},
                ],
            }
        ]
    }


@pytest.fixture
def room(database: Database, account: UUID, project: UUID) -> dict[str, Any]:
    """The first of the survey of a test's own `project`."""
    room: dict[str, Any] = read_survey(database, account, project).document["rooms"][0]
    return room


@pytest.fixture
def wall(room: dict[str, Any]) -> UUID:
    """Its first wall's id."""
    return UUID(str(room["walls"][0]["id"]))
