"""The leases of requests at work are renewed by one thread, whatever becomes of any one of them."""

import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest

from service.api.leases import Leases
from service.errors import InProgress
from service.store.database import Database
from service.usecases.claim_request import claim_request
from service.usecases.records import Answered, Asked, Lease
from service.usecases.release_claim import release_claim

pytestmark = pytest.mark.usefixtures("app")  # which settles how much is logged

BRIEF, DAY = timedelta(seconds=0.6), timedelta(hours=24)


@pytest.fixture
def unusable(tmp_path: Path) -> Iterator[Database]:
    """It has no tables."""
    database = Database(f"sqlite:///{tmp_path}/unusable.sqlite")
    yield database
    database.close()


def asked(account: UUID, key: str) -> Asked:
    return Asked(account, "POST", "/v1/projects", key, "f" * 64)


def claimed(database: Database, account: UUID, key: str) -> Lease:
    found = claim_request(database, asked(account, key), BRIEF, DAY)
    assert not isinstance(found, Answered)
    return found


def renewing() -> list[threading.Thread]:
    return [thread for thread in threading.enumerate() if thread.name == "leases"]


def test_all_that_are_held_are_kept_by_one_thread_until_they_are_done(sqlite_database: Database, account: UUID) -> None:
    leases, before = Leases(BRIEF), len(renewing())
    with ExitStack() as held:
        for key in ("till-1", "till-2", "till-3"):
            held.enter_context(leases.kept(sqlite_database, claimed(sqlite_database, account, key)))
        time.sleep(2 * BRIEF.total_seconds())
        assert len(renewing()) == before + 1
        for key in ("till-1", "till-2", "till-3"):
            with pytest.raises(InProgress):
                claim_request(sqlite_database, asked(account, key), BRIEF, DAY)
    time.sleep(BRIEF.total_seconds())
    assert len(renewing()) == before, "nothing is held, so nothing runs"
    for key in ("till-1", "till-2", "till-3"):
        claimed(sqlite_database, account, key)


def test_a_lease_that_cannot_be_renewed_costs_no_other_its_own(
    sqlite_database: Database, unusable: Database, account: UUID
) -> None:
    leases = Leases(BRIEF)
    lost, gone = claimed(sqlite_database, account, "lost"), claimed(sqlite_database, account, "gone")
    kept = claimed(sqlite_database, account, "kept")
    release_claim(sqlite_database, gone)
    with leases.kept(unusable, lost), leases.kept(sqlite_database, gone), leases.kept(sqlite_database, kept):
        time.sleep(2 * BRIEF.total_seconds())
        with pytest.raises(InProgress):
            claim_request(sqlite_database, asked(account, "kept"), BRIEF, DAY)
        claimed(sqlite_database, account, "lost")
        claimed(sqlite_database, account, "gone")


def test_a_thread_that_ended_is_followed_by_another(sqlite_database: Database, account: UUID) -> None:
    leases = Leases(BRIEF)
    with leases.kept(sqlite_database, claimed(sqlite_database, account, "first")):
        pass
    time.sleep(BRIEF.total_seconds())
    with leases.kept(sqlite_database, claimed(sqlite_database, account, "second")):
        time.sleep(2 * BRIEF.total_seconds())
        with pytest.raises(InProgress):
            claim_request(sqlite_database, asked(account, "second"), BRIEF, DAY)
