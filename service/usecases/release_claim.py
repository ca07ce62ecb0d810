"""Gives a claim back: what came of it is not to be answered again."""

from sqlalchemy import delete
from sqlalchemy.orm import Session

from service.store.database import Database
from service.store.models import Claim
from service.usecases.keep_answer import held_under
from service.usecases.records import Lease


def release_claim(database: Database, lease: Lease) -> None:
    """The next retry begins at once. Nothing happens where the lease is another's by now, or the answer is kept already."""
    database.transact(_release, lease)


def _release(session: Session, lease: Lease) -> None:
    session.execute(delete(Claim).where(held_under(lease)).execution_options(synchronize_session=False))
