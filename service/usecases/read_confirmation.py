"""Reads what a confirmed takeoff holds and left."""

from typing import Any
from uuid import UUID

from service.errors import Missing
from service.store.database import Database
from service.store.models import Confirmation
from service.usecases.confirmations import confirmation_document
from service.usecases.read_takeoff import takeoff_of


def read_confirmation(database: Database, account_id: UUID, takeoff_id: UUID) -> dict[str, Any]:
    """
    Raises:
        Missing: no such takeoff in this account, or it is not confirmed.
    """
    with database.read() as session:
        takeoff_of(session, account_id, takeoff_id)
        confirmation = session.get(Confirmation, takeoff_id)
        if confirmation is None:
            raise Missing("This takeoff is not confirmed.")
        return confirmation_document(session, confirmation)
