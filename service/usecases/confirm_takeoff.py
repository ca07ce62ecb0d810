"""Confirms a takeoff: the offcuts that it is cut from are held for it, and what it leaves becomes offcuts."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

import orjson
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.errors import Conflict
from service.snapshots.offcuts import OFFCUT_MEMBERS
from service.store.clock import now
from service.store.database import Database
from service.store.ledger import Ledger
from service.store.models import Confirmation, Offcut, Takeoff
from service.usecases.confirmations import confirmation_document, locked_offcuts, locked_takeoff, promise
from service.usecases.read_takeoff import bodies_of

SIZES = ("component", "length_mm", "width_mm", "thickness_mm")
"""What makes an offcut the piece that a cut list was made for."""


def confirm_takeoff(database: Database, account_id: UUID, takeoff_id: UUID) -> tuple[dict[str, Any], bool]:
    """The confirmation, and whether it is new; confirming again changes nothing.

    All in one transaction: no two takeoffs ever hold one offcut, and one that cannot have all it is cut from gets none.

    Raises:
        Missing: no such takeoff in this account.
        Conflict: some of the offcuts that it is cut from are held by other takeoffs, were deleted or have another size by now;
            `extra` lists them as `promised` (each with the takeoff that holds it), `gone` and `changed`.
    """
    return database.transact(_confirm, account_id, takeoff_id)


def _confirm(session: Session, account_id: UUID, takeoff_id: UUID) -> tuple[dict[str, Any], bool]:
    takeoff = locked_takeoff(session, account_id, takeoff_id)
    known = session.get(Confirmation, takeoff_id, populate_existing=True)
    if known is not None:
        return confirmation_document(session, known), False
    for _, body in bodies_of(session, takeoff, "offcuts"):
        plan = orjson.loads(body)
        _reserve(session, takeoff, plan["drawn"])
        _make(session, takeoff, plan["made"])
    confirmation = Confirmation(takeoff_id=takeoff_id, confirmed_at=now())
    session.add(confirmation)
    session.flush()
    return confirmation_document(session, confirmation), True


def _reserve(session: Session, takeoff: Takeoff, drawn: Sequence[Mapping[str, Any]]) -> None:
    as_planned = {UUID(takeoff.id_map[piece["from_offcut_id"]]): piece for piece in drawn}
    offcuts = locked_offcuts(session, as_planned)
    promised, gone, changed = [], [], []
    for id, (_, offcut) in offcuts.items():
        if offcut.deleted_at is not None:
            gone.append(str(id))
        elif offcut.takeoff_id is not None:
            promised.append(promise(offcut))
        elif any(getattr(offcut, name) != as_planned[id][name] for name in SIZES):
            changed.append(str(id))
    if promised or gone or changed:
        count = len(promised) + len(gone) + len(changed)
        detail = f"{count} of the offcuts that this takeoff is cut from can no longer be had. Take off again."
        raise Conflict(detail, promised=promised, gone=gone, changed=changed)
    for ledger, offcut in offcuts.values():
        ledger.write(offcut, {"takeoff_id": takeoff.id})


def _make(session: Session, takeoff: Takeoff, made: Sequence[Mapping[str, Any]]) -> None:
    for piece in made:
        offcut = Offcut(id=uuid7(), account_id=takeoff.account_id)
        values = {name: piece[name] for name in OFFCUT_MEMBERS}
        told = {"note": f"Left of {piece['of']}.", "takeoff_id": None, "from_takeoff_id": takeoff.id}
        Ledger.begun(session, offcut).write(offcut, {**values, **told})
