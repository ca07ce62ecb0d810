"""Accounts and keys: shown once, kept as a hash, refused when they should be."""

import hashlib
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest

from service.errors import Conflict, Invalid, Missing, Unauthenticated
from service.store.clock import now
from service.store.database import Database
from service.store.models import ApiKey, FormerSecret
from service.usecases.authenticate import authenticate
from service.usecases.create_account import create_account
from service.usecases.create_key import create_key
from service.usecases.find_account import find_account
from service.usecases.list_resources import list_resources
from service.usecases.read_resource import read_resource
from service.usecases.revoke_key import revoke_key
from service.usecases.rotate_key import rotate_key
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


def test_a_key_that_one_process_revokes_every_other_refuses_at_once(database: Database, account: UUID) -> None:
    """Another process has a pool, and whatever it remembers, of its own."""
    record, secret = create_key(database, account, READ, "Lost")
    another = Database(database.url.render_as_string(hide_password=False))
    try:
        assert authenticate(another, secret) == authenticate(database, secret)
        revoke_key(database, account, record.id)
        with pytest.raises(Unauthenticated):
            authenticate(another, secret)
    finally:
        another.close()


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


def test_a_rotated_key_has_a_new_secret_and_its_old_one_for_a_while(database: Database, account: UUID) -> None:
    made, first = create_key(database, account, READ, "Counter")
    rotated, second = rotate_key(database, account, made.id, timedelta(hours=1))
    assert (rotated.id, rotated.data["scopes"]) == (made.id, ["read"])
    assert rotated.data["prefix"] != made.data["prefix"]
    assert [former["prefix"] for former in rotated.data["former"]] == [made.data["prefix"]]
    assert read_resource(database, account, ResourceKind.KEY, made.id).data["former"] == rotated.data["former"]
    for secret in (first, second):
        assert authenticate(database, secret).key_id == made.id
    with pytest.raises(Unauthenticated):
        authenticate(database, first[:-1] + ("A" if first[-1] != "A" else "B"))
    with pytest.raises(Unauthenticated):
        authenticate(database, made.data["prefix"] + second.removeprefix(rotated.data["prefix"]))

    with database.write() as session:
        session.get_one(FormerSecret, made.data["prefix"]).expires_at = now() - timedelta(seconds=1)
    with pytest.raises(Unauthenticated):
        authenticate(database, first)
    assert authenticate(database, second).key_id == made.id
    assert read_resource(database, account, ResourceKind.KEY, made.id).data["former"] == []


def test_rotating_again_after_a_lost_answer_does_not_cut_off_the_secret_in_use(database: Database, account: UUID) -> None:
    made, in_use = create_key(database, account, READ, "Counter")
    first, _lost = rotate_key(database, account, made.id, timedelta(hours=1))
    second, new = rotate_key(database, account, made.id, timedelta(days=1))
    ends = {former["prefix"]: former["expires_at"] for former in second.data["former"]}
    assert ends.keys() == {made.data["prefix"], first.data["prefix"]}
    assert ends[made.data["prefix"]] == first.data["former"][0]["expires_at"], "no longer than it was told at first"
    assert {authenticate(database, secret).key_id for secret in (in_use, new)} == {made.id}
    rotate_key(database, account, made.id, timedelta(0))
    for secret in (in_use, new):
        with pytest.raises(Unauthenticated):
            authenticate(database, secret)


def test_a_key_that_is_over_is_not_rotated_and_takes_its_former_secrets_along(
    database: Database, account: UUID, other_account: UUID
) -> None:
    made, first = create_key(database, account, READ, "Counter", expires_at=now() + timedelta(days=1))
    _, second = rotate_key(database, account, made.id, timedelta(hours=1))
    with pytest.raises(Missing):
        rotate_key(database, other_account, made.id, timedelta(hours=1))
    with database.write() as session:
        session.get_one(ApiKey, made.id).expires_at = now() - timedelta(seconds=1)
    for end in (lambda: None, lambda: revoke_key(database, account, made.id)):
        end()
        for secret in (first, second):
            with pytest.raises(Unauthenticated):
                authenticate(database, secret)
        with pytest.raises(Conflict):
            rotate_key(database, account, made.id, timedelta(hours=1))
        with database.write() as session:
            session.get_one(ApiKey, made.id).expires_at = None


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
