"""Keeps the answer to a claimed request, in the transaction that has its effect."""

import zlib
from datetime import timedelta

from sqlalchemy import ColumnElement, and_, update
from sqlalchemy.orm import Session

from service.store.clock import now
from service.store.held import Held
from service.store.models import Claim
from service.usecases.records import Answered, Lease


class LeaseLost(Exception):
    """Somebody else has taken the request over; nothing of this attempt was saved."""


def keep_answer(held: Held, lease: Lease, answered: Answered, kept: timedelta) -> None:
    """Saves all that `held` holds together with the answer, if the lease is still this one's. `kept`: for how long from now.

    Raises:
        LeaseLost: it is not; nothing is saved.
    """
    held.save(_keep, lease, answered, kept)


def held_under(lease: Lease) -> ColumnElement[bool]:
    """The claim, as long as it is this lease's and has no answer."""
    asked = lease.asked
    return and_(
        Claim.account_id == asked.account_id,
        Claim.method == asked.method,
        Claim.path == asked.path,
        Claim.key == asked.key,
        Claim.lease == lease.token,
        Claim.status.is_(None),
    )


def _keep(session: Session, lease: Lease, answered: Answered, kept: timedelta) -> None:
    told = {
        "status": answered.status,
        "headers": [list(header) for header in answered.headers],
        "body": zlib.compress(answered.body),
        "kept_until": now() + kept,
    }
    keeping = update(Claim).where(held_under(lease)).values(told).returning(Claim.key)
    if session.scalar(keeping, execution_options={"synchronize_session": False}) is None:
        raise LeaseLost
