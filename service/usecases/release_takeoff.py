"""Undoes the confirmation of a takeoff."""

from uuid import UUID

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from service.errors import Conflict
from service.store.database import Database
from service.store.models import Confirmation, Offcut
from service.usecases.confirmations import locked_offcuts, locked_takeoff, promise


def release_takeoff(database: Database, account_id: UUID, takeoff_id: UUID) -> None:
    """What it held is available again, what it made is deleted. Undoing what was never confirmed, or again, succeeds.

    Raises:
        Missing: no such takeoff in this account.
        Conflict: another takeoff holds some of what it made; `extra["promised"]` says which and by whom. Nothing is undone.
    """
    database.transact(_release, account_id, takeoff_id)


def _release(session: Session, account_id: UUID, takeoff_id: UUID) -> None:
    locked_takeoff(session, account_id, takeoff_id)
    confirmation = session.get(Confirmation, takeoff_id, populate_existing=True)
    if confirmation is None:
        return
    held_or_made = or_(Offcut.takeoff_id == takeoff_id, Offcut.from_takeoff_id == takeoff_id)
    ids = session.scalars(select(Offcut.id).where(held_or_made, Offcut.deleted_at.is_(None)))
    offcuts = [pair for pair in locked_offcuts(session, ids).values() if pair[1].deleted_at is None]
    promised = [promise(offcut) for _, offcut in offcuts if offcut.takeoff_id not in (None, takeoff_id)]
    if promised:
        raise Conflict(f"{len(promised)} of the offcuts that this takeoff left are held by other takeoffs.", promised=promised)
    for ledger, offcut in offcuts:
        if offcut.takeoff_id == takeoff_id:
            ledger.write(offcut, {"takeoff_id": None})
        else:
            ledger.write(offcut, {}, deleted=True)
    session.delete(confirmation)
