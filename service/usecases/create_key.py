"""Makes an API key."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.errors import Fault, Invalid
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey
from service.usecases.checking import read_member
from service.usecases.key_secrets import Secret, new_secret
from service.usecases.plain_records import key_record
from service.usecases.records import Record
from service.vocabulary import KeyScope


def create_key(
    database: Database, account_id: UUID, scopes: Iterable[KeyScope], name: str, expires_at: datetime | None = None
) -> tuple[Record, str]:
    """The key's record and its secret. The secret is not stored: this is the only time it is known.

    Raises:
        Invalid: no name, no scope, an expiry that is past or has no time zone.
    """
    faults: list[Fault] = []
    name = read_member({"name": name}, "name", ApiKey.__table__.c.name.info, "#", faults)
    wanted = set(scopes)
    known = [scope.value for scope in KeyScope if scope in wanted]
    if not wanted or len(known) < len(wanted):
        faults.append(Fault("#/scopes", f"Must be one or more of: {', '.join(KeyScope)}.", "not_in_list"))
    if expires_at is not None and (expires_at.tzinfo is None or expires_at <= now()):
        faults.append(Fault("#/expires_at", "Must be a moment in the future, with its offset from UTC.", "out_of_range"))
    if faults:
        raise Invalid(faults)
    secret = new_secret()
    return database.transact(_create, account_id, known, name, expires_at, secret), secret.text


def _create(
    session: Session, account_id: UUID, scopes: list[str], name: str, expires_at: datetime | None, secret: Secret
) -> Record:
    key = ApiKey(
        id=uuid7(),
        account_id=account_id,
        name=name,
        prefix=secret.prefix,
        secret_sha256=secret.sha256,
        scopes=scopes,
        created_at=now(),
        expires_at=expires_at,
    )
    session.add(key)
    session.flush()
    return key_record(key)
