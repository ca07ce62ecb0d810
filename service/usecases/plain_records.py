"""Accounts, keys and takeoffs as records: things that have no version to match and no tombstone."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from service.errors import Missing
from service.store.clock import now
from service.store.models import Account, ApiKey, Result, Takeoff
from service.usecases.records import Record, rfc3339
from service.vocabulary import ResourceKind, TakeoffStatus

VERSION = 1
"""They do not change in any way that a caller could overwrite."""


def account_record(account: Account) -> Record:
    return Record(ResourceKind.ACCOUNT, account.id, VERSION, {"name": account.name, "created_at": rfc3339(account.created_at)})


def key_record(key: ApiKey) -> Record:
    """Never a secret: only their hashes are known."""
    moment = now()
    former = [
        {"prefix": secret.prefix, "expires_at": rfc3339(secret.expires_at)}
        for secret in key.former_secrets
        if secret.expires_at > moment
    ]
    times = {name: rfc3339(getattr(key, name)) for name in ("created_at", "expires_at", "revoked_at", "last_used_at")}
    return Record(
        ResourceKind.KEY,
        key.id,
        VERSION,
        {"name": key.name, "prefix": key.prefix, "scopes": key.scopes, **times, "former": former},
    )


def takeoff_record(takeoff: Takeoff, result: Result) -> Record:
    """Without its parts, and without the findings, whose ids have to be put back into them first."""
    data = {
        "project_id": takeoff.project_id,
        "status": TakeoffStatus.SUCCEEDED.value,
        "digest": takeoff.digest,
        "engine_version": result.engine_version,
        "inputs": takeoff.inputs,
        "options": takeoff.options,
        "totals": result.summary.get("totals"),
        "created_at": rfc3339(takeoff.created_at),
    }
    return Record(ResourceKind.TAKEOFF, takeoff.id, VERSION, data)


PLAIN: dict[ResourceKind, tuple[Any, Any, Callable[..., Record], Any]] = {
    ResourceKind.ACCOUNT: (select(Account), Account, account_record, Account.id),
    ResourceKind.KEY: (select(ApiKey).options(selectinload(ApiKey.former_secrets)), ApiKey, key_record, ApiKey.account_id),
    ResourceKind.TAKEOFF: (
        select(Takeoff, Result).join(Result, Result.id == Takeoff.result_id),
        Takeoff,
        takeoff_record,
        Takeoff.account_id,
    ),
}
"""For each kind: the query of its rows, the model that is sorted by, the way to a record, the column of the account."""


def read_plain(session: Session, account_id: UUID, kind: ResourceKind, id: UUID) -> Record:
    """Raises Missing where there is no such id in this account."""
    query, model, record, account = PLAIN[kind]
    found = session.execute(query.where(model.id == id, account == account_id)).one_or_none()
    if found is None:
        raise Missing(f"There is no {kind} with this id.")
    return record(*found)
