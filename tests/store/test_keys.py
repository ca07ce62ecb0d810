"""Accounts and keys: shown once, kept as a hash, refused when they should be."""

import hashlib
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest

from service.errors import Conflict, Invalid, Missing, Unauthenticated
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey
from service.usecases.authenticate import authenticate
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.usecases.find_account import find_account
from service.usecases.list_resources import list_resources
from service.usecases.read_resource import read_resource
from service.usecases.revoke_key import revoke_key
from service.vocabulary import KeyScope, ResourceKind

READ = [KeyScope.READ]


def test_a_key_opens_its_account_with_its_scopes(database: Database, account: UUID) -> None:
    record, secret = create_key(database, account, [KeyScope.TAKEOFF, KeyScope.READ], "Counter")
    holder = authenticate(database, secret)
    assert (holder.account_id, holder.key_id) == (account, record.id)
    assert holder.scopes == {KeyScope.READ, KeyScope.TAKEOFF}
    assert record.data["scopes"] == ["read", "takeoff"]


def test_the_secret_is_kept_as_its_hash_and_nowhere_else(database: Database, account: UUID) -> None:
    record, secret = create_key(database, account, READ, "Counter")
    with database.read() as session:
        key = session.get_one(ApiKey, record.id)
        kept = {name: str(getattr(key, name)) for name in ApiKey.__table__.columns.keys()}  # noqa: SIM118
    assert kept["secret_sha256"] == hashlib.sha256(secret.encode()).hexdigest()
    assert secret.startswith(kept["prefix"])
    hidden = secret.removeprefix(kept["prefix"])
    assert len(hidden) >= 43  # 256 bits in base 64
    assert not [name for name, value in kept.items() if hidden in value]
    assert hidden not in str(record)


def test_what_is_no_good_key_is_refused_without_saying_why(database: Database, account: UUID) -> None:
    expired, expired_secret = create_key(database, account, READ, "Short", expires_at=now() + timedelta(days=1))
    with database.write() as session:
        session.get_one(ApiKey, expired.id).expires_at = now() - timedelta(seconds=1)
    revoked, revoked_secret = create_key(database, account, READ, "Lost")
    revoke_key(database, account, revoked.id)
    _, good = create_key(database, account, READ, "Good")
    swapped = good[:-1] + ("A" if good[-1] != "A" else "B")
    sentences = set()
    for secret in (
        expired_secret,
        revoked_secret,
        swapped,
        good[:-1],
        good + "A",
        good[:15],
        "",
        "tk_",
        "\x00",
        "ключ",
        "\ud800",
        "x" * 10_000,
    ):
        with pytest.raises(Unauthenticated) as refused:
            authenticate(database, secret)
        sentences.add(str(refused.value))
    assert len(sentences) == 1


def test_use_is_noted_at_most_once_a_minute(database: Database, account: UUID) -> None:
    record, secret = create_key(database, account, READ, "Counter")

    def last_used() -> str | None:
        used: str | None = read_resource(database, account, ResourceKind.KEY, record.id).data["last_used_at"]
        return used

    assert last_used() is None
    authenticate(database, secret)
    first = last_used()
    authenticate(database, secret)
    assert first is not None
    assert last_used() == first
    with database.write() as session:
        session.get_one(ApiKey, record.id).last_used_at = now() - timedelta(seconds=61)
    authenticate(database, secret)
    assert (last_used() or "") > first


def test_a_key_is_revoked_by_its_own_account_and_only_once(database: Database, account: UUID, other_account: UUID) -> None:
    record, secret = create_key(database, account, READ, "Counter")
    with pytest.raises(Missing):
        revoke_key(database, other_account, record.id)
    with pytest.raises(Missing):
        read_resource(database, other_account, ResourceKind.KEY, record.id)
    assert authenticate(database, secret).account_id == account
    revoke_key(database, account, record.id)
    revoked = read_resource(database, account, ResourceKind.KEY, record.id)
    revoke_key(database, account, record.id)
    assert read_resource(database, account, ResourceKind.KEY, record.id) == revoked
    assert list_resources(database, account, ResourceKind.KEY).items == (revoked,)


def test_a_key_that_could_not_be_used_is_not_made(database: Database, account: UUID) -> None:
    with pytest.raises(Invalid) as wrong:
        create_key(database, account, [], "", expires_at=now())
    assert {fault.pointer for fault in wrong.value.faults} == {"#/name", "#/scopes", "#/expires_at"}
    with pytest.raises(Invalid):
        create_key(database, account, READ, "Zoneless", expires_at=datetime(2100, 1, 1))
    create_key(database, account, READ, "Long", expires_at=datetime(2100, 1, 1, tzinfo=UTC))


def test_an_account_is_found_by_its_name(database: Database, account: UUID) -> None:
    assert find_account(database, "Invented Linings").id == account
    with pytest.raises(Missing):
        find_account(database, "Nobody")
    with pytest.raises(Conflict) as refused:
        create_account(database, "Invented Linings")
    assert refused.value.extra == {"id": str(account)}
    with pytest.raises(Invalid):
        create_account(database, "")
