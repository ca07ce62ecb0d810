"""Compares two takeoffs of an account. Both are read as they are kept; nothing is taken off again."""

from collections.abc import Sequence
from functools import partial
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from service.snapshots.compare import Compared, compare
from service.snapshots.fill import document
from service.store.database import Database
from service.store.models import Result, Takeoff
from service.usecases.engine_input import made_id
from service.usecases.read_takeoff import bodies_of, takeoff_of
from service.usecases.records import rfc3339
from service.vocabulary import TakeoffPart


def compare_takeoffs(database: Database, account_id: UUID, takeoff_id: UUID, other_id: UUID) -> dict[str, Any]:
    """What the takeoff `other_id` needs more and less of than the takeoff `takeoff_id`.

    Rooms, walls and what is in them are matched by id; those that had none in their survey, by their place in it.

    Raises:
        Missing: one of them is no takeoff of this account.
    """
    with database.read() as session:
        return compare(_side(session, account_id, takeoff_id), _side(session, account_id, other_id))


def _side(session: Session, account_id: UUID, takeoff_id: UUID) -> Compared:
    takeoff = takeoff_of(session, account_id, takeoff_id)
    result = session.get_one(Result, takeoff.result_id)
    about = {
        "takeoff_id": str(takeoff.id),
        "digest": takeoff.digest,
        "engine_version": result.engine_version,
        "created_at": rfc3339(takeoff.created_at),
        "inputs": takeoff.inputs,
    }
    return Compared(
        about=about,
        totals=result.summary["totals"],
        lines=partial(_lines, session, takeoff),
        inputs=partial(_part, session, takeoff, "inputs"),
        same_as={id: place for place, id in takeoff.id_map.items() if id == str(made_id(takeoff.id, place))},
    )


def _lines(session: Session, takeoff: Takeoff) -> Sequence[dict[str, Any]]:
    lines: Sequence[dict[str, Any]] = _part(session, takeoff, TakeoffPart.SCHEDULE)["lines"]
    return lines


def _part(session: Session, takeoff: Takeoff, part: str) -> dict[str, Any]:
    return document(part, bodies_of(session, takeoff, part), takeoff.id_map)
