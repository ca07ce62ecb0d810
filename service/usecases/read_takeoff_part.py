"""Reads one part of a takeoff, whole or narrowed to a room, a wall, a component."""

from typing import Any, Literal
from uuid import UUID

from service.errors import Missing
from service.snapshots.fill import document
from service.snapshots.narrow import narrow
from service.store.database import Database
from service.usecases.read_takeoff import ASSESSED, bodies_of, takeoff_of
from service.vocabulary import Component, TakeoffPart


def read_takeoff_part(
    database: Database,
    account_id: UUID,
    takeoff_id: UUID,
    part: TakeoffPart | Literal["inputs"],
    *,
    room_id: UUID | None = None,
    wall_id: UUID | None = None,
    component: Component | None = None,
) -> dict[str, Any]:
    """The part's document: `lines` of the schedule, `bars`, `sheets` and `rolls` of the cut lists, `layouts`, or all inputs.

    Filters leave things out and never change a figure; `narrow` says what is left. A room or wall that the takeoff does not know
    leaves nothing. Inputs take no filter.

    Raises:
        Missing: no such takeoff in this account; heat, moisture or cautions of one that has none.
    """
    with database.read() as session:
        takeoff = takeoff_of(session, account_id, takeoff_id)
        bodies = bodies_of(session, takeoff, part)
    if not bodies and part in ASSESSED:
        raise Missing("This takeoff was made before heat, moisture and cautions were part of one. Make it again.")
    whole = document(part, bodies, takeoff.id_map)
    room, wall = (None if id is None else str(id) for id in (room_id, wall_id))
    return narrow(part, whole, room_id=room, wall_id=wall, component=component)
