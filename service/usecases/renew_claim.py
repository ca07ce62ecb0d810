"""Keeps a claim whose work takes longer than its lease."""

from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.store.clock import now
from service.store.database import Database
from service.store.models import Claim
from service.usecases.keep_answer import held_under
from service.usecases.records import Lease


def renew_claim(database: Database, lease: Lease, lasting: timedelta) -> bool:
    """Lets the lease run from now on; False where it is another's by now, or the request is answered."""
    return database.transact(_renew, lease, lasting)


def _renew(session: Session, lease: Lease, lasting: timedelta) -> bool:
    claim = session.scalar(select(Claim).where(held_under(lease)).with_for_update())
    if claim is None:
        return False
    claim.lease_until = now() + lasting
    return True
