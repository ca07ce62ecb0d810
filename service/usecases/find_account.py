"""Finds an account by its name."""

from sqlalchemy import select

from service.errors import Missing
from service.store.database import Database
from service.store.models import Account
from service.usecases.plain_records import account_record
from service.usecases.records import Record


def find_account(database: Database, name: str) -> Record:
    """The account of this name.

    Raises:
        Missing: there is none.
    """
    with database.read() as session:
        account = session.scalar(select(Account).where(Account.name == name))
        if account is None:
            raise Missing("There is no account of this name.")
        return account_record(account)
