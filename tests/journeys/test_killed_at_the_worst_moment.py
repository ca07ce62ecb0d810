"""A worker dies just between claiming a request and doing it, or between doing it and keeping the answer.

The test holds the lock that the worker needs for its next step, waits until it is seen waiting there, and kills it.
"""

import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import Any

import httpx
import psycopg
import pytest
from sqlalchemy.engine import make_url
from weather import CALM, Caller, Service

SURVEY = {"rooms": [{"ceiling_height_mm": 2300, "walls": [{"length_mm": 1700}]}]}
WAITING = "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'"


@pytest.fixture
def till(opened: Callable[..., Caller]) -> Caller:
    return opened("Invented Merchants", CALM, 7)


@contextmanager
def holding(url: str, statement: str) -> Iterator[psycopg.Connection[Any]]:
    """Runs a statement that takes a lock, and keeps it until the end of the block."""
    with psycopg.connect(make_url(url).set(drivername="postgresql").render_as_string(hide_password=False)) as connection:
        connection.execute(statement)
        yield connection
        connection.rollback()


def await_waiting(url: str, sessions: int) -> None:
    """Until this many of the service's sessions wait for a lock."""
    end = time.monotonic() + 15
    with psycopg.connect(
        make_url(url).set(drivername="postgresql").render_as_string(hide_password=False), autocommit=True
    ) as eye:
        while eye.execute(WAITING).fetchone() != (sessions,):
            assert time.monotonic() < end, "nobody came to wait for the lock"
            time.sleep(0.01)


def takeoffs(till: Caller) -> list[str]:
    return [entry["id"] for entry in till.all("/v1/takeoffs")]


def test_between_the_claim_and_its_effect(till: Caller, service: Service, weather_url: str) -> None:
    with ThreadPoolExecutor(1) as thread:
        with holding(weather_url, "LOCK TABLE takeoffs IN SHARE ROW EXCLUSIVE MODE"):
            asked = thread.submit(till.send, "POST", "/v1/takeoffs", {"survey": SURVEY})
            await_waiting(weather_url, 1)
            service.kill(service.workers())
        answer = asked.result(60)
    assert answer.status_code == 201
    assert takeoffs(till) == [answer.json()["id"]]


def test_between_the_effect_and_its_answer(till: Caller, service: Service, weather_url: str) -> None:
    with ThreadPoolExecutor(1) as thread:
        with holding(weather_url, "LOCK TABLE takeoffs IN SHARE ROW EXCLUSIVE MODE") as first:
            asked = thread.submit(till.send, "POST", "/v1/takeoffs", {"survey": SURVEY})
            await_waiting(weather_url, 1)
            with holding(weather_url, "SELECT FROM claims WHERE status IS NULL FOR UPDATE"):
                first.rollback()
                time.sleep(0.05)  # it is past the table's lock; now it waits for the claim's
                await_waiting(weather_url, 1)
                service.kill(service.workers())
        answer = asked.result(60)
    assert answer.status_code == 201
    assert takeoffs(till) == [answer.json()["id"]], "the first one's was undone with it"


def test_between_the_answer_and_the_caller(till: Caller, service: Service) -> None:
    first = till.send("POST", "/v1/takeoffs?include=schedule", {"survey": SURVEY})
    service.kill(service.workers())
    again = till.again("/v1/takeoffs?include=schedule", {"survey": SURVEY})
    assert again.content == first.content
    assert again.headers["Idempotency-Replayed"] == "true"
    assert takeoffs(till) == [first.json()["id"]]


def test_whoever_works_longer_than_the_lease_keeps_it(till: Caller, weather_url: str) -> None:
    with ThreadPoolExecutor(2) as threads:
        with holding(weather_url, "LOCK TABLE takeoffs IN SHARE ROW EXCLUSIVE MODE"):
            asked: list[Any] = [threads.submit(till.send, "POST", "/v1/takeoffs", {"survey": SURVEY})]
            await_waiting(weather_url, 1)
            asked.append(threads.submit(till.again, "/v1/takeoffs", {"survey": SURVEY}))
            time.sleep(1.5)  # the lease is one of a second
            await_waiting(weather_url, 1)
        answers_agree(till, [each.result(60) for each in asked])


def test_whoever_stands_still_past_the_lease_and_whoever_took_over_have_one_effect(
    till: Caller, service: Service, weather_url: str
) -> None:
    """Nobody dies. Both are answered alike."""
    with ThreadPoolExecutor(2) as threads:
        workers = service.workers()
        try:
            with holding(weather_url, "LOCK TABLE takeoffs IN SHARE ROW EXCLUSIVE MODE"):
                asked: list[Any] = [threads.submit(till.send, "POST", "/v1/takeoffs", {"survey": SURVEY})]
                await_waiting(weather_url, 1)
                service.stop(workers)
                asked.append(threads.submit(till.again, "/v1/takeoffs", {"survey": SURVEY}))
                await_waiting(weather_url, 2)
        finally:
            service.go_on(workers)
        answers_agree(till, [each.result(60) for each in asked])


def answers_agree(till: Caller, answers: list[httpx.Response]) -> None:
    assert [answer.status_code for answer in answers] == [201, 201]
    assert answers[0].content == answers[1].content
    assert sorted("Idempotency-Replayed" in answer.headers for answer in answers) == [False, True]
    assert takeoffs(till) == [answers[0].json()["id"]]
