"""Makes an account."""

from sqlalchemy import select
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.errors import Conflict, Fault, Invalid
from service.store.clock import now
from service.store.database import Database
from service.store.models import Account
from service.usecases.checking import read_member
from service.usecases.plain_records import account_record
from service.usecases.records import Record


def create_account(database: Database, name: str) -> Record:
    """A new, empty account.

    Raises:
        Invalid: no name, or one too long.
        Conflict: the name is taken; `extra` has `id`, the one that has it.
    """
    return database.transact(_create, name)


def _create(session: Session, name: str) -> Record:
    faults: list[Fault] = []
    name = read_member({"name": name}, "name", Account.__table__.c.name.info, "#", faults)
    if faults:
        raise Invalid(faults)
    holder = session.scalar(select(Account.id).where(Account.name == name))
    if holder is not None:
        raise Conflict("This name is taken by another account.", id=str(holder))
    account = Account(id=uuid7(), name=name, created_at=now())
    session.add(account)
    session.flush()
    return account_record(account)
