"""What confirming a takeoff, undoing that and reading it share."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.errors import Missing
from service.store.ledger import Ledger
from service.store.models import Confirmation, Offcut, Takeoff
from service.usecases.records import rfc3339


def locked_takeoff(session: Session, account_id: UUID, takeoff_id: UUID) -> Takeoff:
    """Whoever else confirms it or undoes that waits until this transaction ends.

    Raises:
        Missing: no such takeoff in this account.
    """
    query = select(Takeoff).where(Takeoff.id == takeoff_id, Takeoff.account_id == account_id)
    takeoff = session.scalar(query.with_for_update(key_share=True))
    if takeoff is None:
        raise Missing("There is no takeoff with this id.")
    return takeoff


def locked_offcuts(session: Session, ids: Iterable[UUID]) -> dict[UUID, tuple[Ledger, Offcut]]:
    """The offcuts as they are once nobody else can change them. In the order of ids, so that two never wait for each other."""
    ledgers = {id: Ledger.locked(session, Offcut, id) for id in sorted(set(ids))}
    return {id: (ledger, ledger.root) for id, ledger in ledgers.items() if isinstance(ledger.root, Offcut)}


def confirmation_document(session: Session, confirmation: Confirmation) -> dict[str, Any]:
    """`reserved` and `made` as they are now: what was made and thrown away since is not told."""
    oldest_first = (Offcut.created_at, Offcut.id)
    held = select(Offcut.id).where(Offcut.takeoff_id == confirmation.takeoff_id)
    made = select(Offcut.id).where(Offcut.from_takeoff_id == confirmation.takeoff_id, Offcut.deleted_at.is_(None))
    return {
        "takeoff_id": str(confirmation.takeoff_id),
        "confirmed_at": rfc3339(confirmation.confirmed_at),
        "reserved": [str(id) for id in session.scalars(held.order_by(*oldest_first))],
        "made": [str(id) for id in session.scalars(made.order_by(*oldest_first))],
    }


def promise(offcut: Offcut) -> dict[str, str]:
    """Which offcut is held by which takeoff."""
    return {"id": str(offcut.id), "takeoff_id": str(offcut.takeoff_id)}
