"""Reads a takeoff: what was asked, totals, findings, and the parts that are wanted with it."""

from collections.abc import Collection
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.errors import Missing
from service.snapshots.fill import document, fill
from service.store.database import Database
from service.store.models import Result, ResultPart, Takeoff
from service.usecases.records import rfc3339
from service.vocabulary import TakeoffPart, TakeoffStatus

ASSESSED = frozenset({TakeoffPart.THERMAL, TakeoffPart.CAUTIONS})
"""Parts that a takeoff of an older engine does not have."""


def read_takeoff(database: Database, account_id: UUID, takeoff_id: UUID, include: Collection[TakeoffPart] = ()) -> dict[str, Any]:
    """The takeoff's document; each part in `include` under its own name.

    Raises:
        Missing: no such takeoff in this account.
    """
    with database.read() as session:
        takeoff = takeoff_of(session, account_id, takeoff_id)
        result = session.get_one(Result, takeoff.result_id)
        bodies = {part: bodies_of(session, takeoff, part) for part in TakeoffPart if part in include}
    return {
        "id": str(takeoff.id),
        "status": TakeoffStatus.SUCCEEDED.value,
        "digest": takeoff.digest,
        "engine_version": result.engine_version,
        "created_at": rfc3339(takeoff.created_at),
        "inputs": takeoff.inputs,
        "options": takeoff.options,
        **fill(result.summary, takeoff.id_map),
        **{part.value: document(part, found, takeoff.id_map) for part, found in bodies.items() if found or part not in ASSESSED},
    }


def takeoff_of(session: Session, account_id: UUID, takeoff_id: UUID) -> Takeoff:
    """
    Raises:
        Missing: no such takeoff in this account.
    """
    takeoff = session.get(Takeoff, takeoff_id)
    if takeoff is None or takeoff.account_id != account_id:
        raise Missing("There is no takeoff with this id.")
    return takeoff


def bodies_of(session: Session, takeoff: Takeoff, part: str) -> list[tuple[str, bytes]]:
    """Key and JSON text of each piece of a part."""
    query = select(ResultPart.key, ResultPart.body).where(ResultPart.result_id == takeoff.result_id, ResultPart.part == part)
    return [(key, body) for key, body in session.execute(query)]
