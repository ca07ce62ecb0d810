"""Requests that may be sent again: claimed by one, finished by one, and no effect without its answer."""

import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from uuid import UUID

import pytest
from sqlalchemy import func, select

from service.errors import Conflict, InProgress, KeyReused
from service.store.clock import now
from service.store.database import Database
from service.store.held import Held
from service.store.models import Claim
from service.usecases.claim_request import claim_request
from service.usecases.create_resource import create_resource
from service.usecases.keep_answer import LeaseLost, keep_answer
from service.usecases.list_resources import list_resources
from service.usecases.read_resource import read_resource
from service.usecases.records import Answered, Asked, Lease
from service.usecases.release_claim import release_claim
from service.usecases.renew_claim import renew_claim
from service.usecases.sweep_claims import sweep_claims
from service.vocabulary import ResourceKind as K

LONG, NONE, DAY = timedelta(minutes=5), timedelta(0), timedelta(hours=24)
MADE = Answered(201, (("Content-Type", "application/json"), ("ETag", '"v1"')), b'{"made": true}')


@pytest.fixture
def asked(account: UUID) -> Asked:
    return Asked(account, "POST", "/v1/projects", "till-3:0099", "f" * 64)


def claimed(database: Database, asked: Asked, lease: timedelta = LONG) -> Lease:
    found = claim_request(database, asked, lease, DAY)
    assert isinstance(found, Lease)
    return found


def projects(database: Database, account: UUID) -> int:
    return len(list_resources(database, account, K.PROJECT).items)


def done(database: Database, lease: Lease) -> None:
    """What a request does: an effect, and its answer."""
    with Held(database) as held:
        create_resource(held, lease.asked.account_id, K.PROJECT, {})
        keep_answer(held, lease, MADE, DAY)


def test_the_first_claims_and_all_later_ones_are_answered(database: Database, account: UUID, asked: Asked) -> None:
    done(database, claimed(database, asked))
    for _ in range(3):
        assert claim_request(database, asked, LONG, DAY) == MADE
    assert projects(database, account) == 1


def test_while_the_first_is_at_work_others_are_told_to_wait(database: Database, asked: Asked) -> None:
    claimed(database, asked)
    with pytest.raises(InProgress) as refused:
        claim_request(database, asked, LONG, DAY)
    assert refused.value.retry_after_seconds == 5, "not five minutes: most are done long before their lease runs out"
    claimed(database, Asked(asked.account_id, "POST", "/v1/projects", "brief", "f" * 64), timedelta(seconds=1.5))
    with pytest.raises(InProgress) as refused:
        claim_request(database, Asked(asked.account_id, "POST", "/v1/projects", "brief", "f" * 64), LONG, DAY)
    assert refused.value.retry_after_seconds in (1, 2)


@pytest.mark.parametrize("answered", [False, True])
def test_a_key_stands_for_one_request(database: Database, asked: Asked, answered: bool) -> None:
    lease = claimed(database, asked)
    if answered:
        done(database, lease)
    with pytest.raises(KeyReused):
        claim_request(database, Asked(asked.account_id, asked.method, asked.path, asked.key, "0" * 64), LONG, DAY)


def test_a_key_is_an_accounts_own_and_a_paths_own(database: Database, asked: Asked, other_account: UUID) -> None:
    done(database, claimed(database, asked))
    for other in (
        Asked(other_account, asked.method, asked.path, asked.key, "0" * 64),
        Asked(asked.account_id, "PUT", asked.path, asked.key, "0" * 64),
        Asked(asked.account_id, asked.method, "/v1/takeoffs", asked.key, "0" * 64),
        Asked(asked.account_id, asked.method, asked.path, asked.key.upper(), "0" * 64),
    ):
        claimed(database, other)


def test_what_is_released_is_begun_anew_at_once(database: Database, account: UUID, asked: Asked) -> None:
    release_claim(database, claimed(database, asked))
    done(database, claimed(database, asked))
    assert projects(database, account) == 1


def test_a_lease_that_ran_out_is_taken_over_and_the_first_saves_nothing(database: Database, account: UUID, asked: Asked) -> None:
    first = claimed(database, asked, NONE)
    second = claimed(database, asked)
    with pytest.raises(LeaseLost):
        done(database, first)
    assert projects(database, account) == 0
    release_claim(database, first)  # is not its to release
    done(database, second)
    with pytest.raises(LeaseLost):
        done(database, first)
    release_claim(database, second)  # is answered
    assert claim_request(database, asked, LONG, DAY) == MADE
    assert projects(database, account) == 1


def test_a_lease_is_renewed_by_whoever_has_it_and_by_nobody_else(database: Database, asked: Asked) -> None:
    first = claimed(database, asked, NONE)
    assert renew_claim(database, first, LONG)
    with pytest.raises(InProgress):
        claim_request(database, asked, LONG, DAY)
    assert renew_claim(database, first, NONE)
    second = claimed(database, asked)
    assert not renew_claim(database, first, LONG)
    done(database, second)
    assert not renew_claim(database, second, LONG)


def test_the_first_and_the_one_who_took_over_at_the_same_moment_have_one_effect(
    database: Database, account: UUID, asked: Asked
) -> None:
    leases = [claimed(database, asked, NONE) for _ in range(3)]
    met = threading.Barrier(3)

    def finish(lease: Lease) -> bool:
        met.wait(timeout=10)
        try:
            done(database, lease)
        except LeaseLost:
            return False
        return True

    with ThreadPoolExecutor(3) as threads:
        assert list(threads.map(finish, leases)) == [False, False, True]
    assert projects(database, account) == 1


def test_of_many_at_the_same_moment_one_claims(database: Database, account: UUID, asked: Asked) -> None:
    met = threading.Barrier(8)

    def ask(_: int) -> str:
        met.wait(timeout=10)
        try:
            found = claim_request(database, asked, LONG, DAY)
        except InProgress:
            return "told to wait"
        if isinstance(found, Answered):
            return "answered"
        done(database, found)
        return "did it"

    with ThreadPoolExecutor(8) as threads:
        outcomes = list(threads.map(ask, range(8)))
    assert outcomes.count("did it") == 1
    assert projects(database, account) == 1
    assert claim_request(database, asked, LONG, DAY) == MADE


def test_an_answer_without_effect_is_kept_too(database: Database, asked: Asked) -> None:
    refused = Answered(422, (("Content-Type", "application/problem+json"),), b"{}")
    lease = claimed(database, asked)
    with Held(database) as held:
        keep_answer(held, lease, refused, DAY)
    assert claim_request(database, asked, LONG, DAY) == refused


def test_what_is_held_is_seen_by_its_own_request_and_by_nobody_else_until_it_is_saved(
    database: Database, account: UUID, asked: Asked
) -> None:
    lease = claimed(database, asked)
    with Held(database) as held:
        first = create_resource(held, account, K.PROJECT, {"reference": "A"})
        with pytest.raises(Conflict):
            create_resource(held, account, K.PROJECT, {"reference": "A"})
        second = create_resource(held, account, K.PROJECT, {"reference": "B"})
        assert [read_resource(held, account, K.PROJECT, made.id) for made in (first, second)] == [first, second]
        assert projects(database, account) == 0
        keep_answer(held, lease, MADE, DAY)
        assert projects(database, account) == 2
    with Held(database) as held:
        create_resource(held, account, K.PROJECT, {})
    assert projects(database, account) == 2, "what is not saved is undone"


def test_answers_are_swept_when_their_time_is_over_and_not_before(database: Database, asked: Asked) -> None:
    done(database, claimed(database, asked))
    old = Asked(asked.account_id, "POST", "/v1/projects", "old", "f" * 64)
    for key in ("old", "older", "never finished"):
        lease = claimed(database, Asked(asked.account_id, "POST", "/v1/projects", key, "f" * 64))
        if key != "never finished":
            done(database, lease)
        with database.write() as session:
            claim = session.scalars(select(Claim).where(Claim.key == key)).one()
            claim.lease_until = claim.kept_until = now() - timedelta(seconds=1)
    assert isinstance(claim_request(database, old, LONG, DAY), Lease), "what is over counts as never sent, swept or not"
    assert sweep_claims(database, at_most=1) == 1
    assert sweep_claims(database) == 1
    assert sweep_claims(database) == 0
    assert claim_request(database, asked, LONG, DAY) == MADE
    with database.read() as session:
        assert session.scalar(select(func.count()).select_from(Claim)) == 2


WORKER = """
import sys
from datetime import timedelta
from uuid import UUID
from service.store.database import Database
from service.store.held import Held
from service.usecases.claim_request import claim_request
from service.usecases.create_resource import create_resource
from service.usecases.keep_answer import keep_answer
from service.usecases.records import Answered, Asked
from service.vocabulary import ResourceKind

url, account, stop_after, lease = sys.argv[1:]
DAY = timedelta(hours=24)


def stop(here):
    if here == stop_after:
        print(here, flush=True)
        sys.stdin.readline()


asked = Asked(UUID(account), "POST", "/v1/projects", "till-3:0099", "f" * 64)
database = Database(url)
found = claim_request(database, asked, timedelta(seconds=float(lease)), DAY)
stop("claim")
with Held(database) as held:
    create_resource(held, asked.account_id, ResourceKind.PROJECT, {"reference": "PLOT-9"})
    stop("effect")
    body = b'{"made": true}'
    keep_answer(held, found, Answered(201, (("Content-Type", "application/json"), ("ETag", '"v1"')), body), DAY)
stop("answer")
"""


@pytest.mark.parametrize("stop_after", ["claim", "effect", "answer"])
def test_a_process_that_is_killed_leaves_all_or_nothing_and_the_retry_finishes(
    database: Database, database_url: str, account: UUID, asked: Asked, stop_after: str
) -> None:
    command = [sys.executable, "-c", WORKER, database_url, str(account), stop_after, "0.7"]
    worker = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert worker.stdout is not None and worker.stdin is not None
    assert worker.stdout.readline() == f"{stop_after}\n"
    assert projects(database, account) == (stop_after == "answer")
    worker.kill()
    assert worker.wait(10) == -9
    worker.stdin.close()
    worker.stdout.close()

    if stop_after == "answer":
        assert claim_request(database, asked, LONG, DAY) == MADE
    else:
        assert projects(database, account) == 0
        while True:
            try:
                found = claim_request(database, asked, LONG, DAY)
                break
            except InProgress as early:
                assert early.retry_after_seconds == 1
                time.sleep(0.05)
        assert isinstance(found, Lease)
        with Held(database) as held:
            create_resource(held, account, K.PROJECT, {"reference": "PLOT-9"})
            keep_answer(held, found, MADE, DAY)
        assert claim_request(database, asked, LONG, DAY) == MADE
    (made,) = list_resources(database, account, K.PROJECT).items
    assert made.data["reference"] == "PLOT-9"


def test_processes_with_one_key_have_one_effect(database: Database, database_url: str, account: UUID, asked: Asked) -> None:
    command = [sys.executable, "-c", WORKER, database_url, str(account), "never", "60"]
    workers = [subprocess.Popen(command, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    for worker in workers:
        worker.communicate(timeout=60)
    assert 0 in [worker.returncode for worker in workers]
    assert claim_request(database, asked, LONG, DAY) == MADE
    assert projects(database, account) == 1
