"""Forgets requests whose answers have been kept long enough."""

from sqlalchemy import delete, select, tuple_
from sqlalchemy.orm import Session

from service.store.clock import now
from service.store.database import Database
from service.store.models import Claim

AT_A_TIME = 500


def sweep_claims(database: Database, *, at_most: int = AT_A_TIME) -> int:
    """How many were forgotten, the oldest first. Any number of processes may sweep at once."""
    return database.transact(_sweep, at_most)


def _sweep(session: Session, at_most: int) -> int:
    place = (Claim.account_id, Claim.method, Claim.path, Claim.key)
    old = select(*place).where(Claim.kept_until <= now()).order_by(Claim.kept_until).limit(at_most)
    found = session.execute(old.with_for_update(skip_locked=True)).all()
    if found:
        session.execute(delete(Claim).where(tuple_(*place).in_([tuple(row) for row in found])))
    return len(found)
