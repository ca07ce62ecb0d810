"""Counts for whoever runs the service, as it is run: several workers, one of them asked, all of them counted."""

import os
import shutil
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from prometheus_client.parser import text_string_to_metric_families
from weather import PATIENCE_SECONDS, Service, serving

COMMANDS = {
    "as in the container": ("gunicorn", "-c", "docker/gunicorn.conf.py", "-b", "127.0.0.1:{port}", "-w", "2"),
    "on the command line": ("service", "serve", "--port", "{port}"),
}
TIMES = 8


@pytest.fixture(params=COMMANDS)
def counting(request: pytest.FixtureRequest, sqlite_template: Path, tmp_path: Path) -> Iterator[tuple[Service, Path]]:
    """A service of two workers, and the folder in which its master makes another."""
    copy = shutil.copy(sqlite_template, tmp_path / "service.sqlite")
    folder = tmp_path / "folder"
    folder.mkdir()
    with serving(f"sqlite:///{copy}", COMMANDS[request.param], TMPDIR=str(folder)) as running:
        yield running, folder


def test_one_look_counts_what_all_workers_did_also_after_some_were_killed_and_renewed(
    counting: tuple[Service, Path],
) -> None:
    service, folder = counting
    asked = 0
    for how in (signal.SIGKILL, signal.SIGTERM):  # killed; renewed in good order, as after its share of requests
        for worker in pair(service):
            ask(service, worker)
            asked += TIMES
        assert [look(service, worker) for worker in pair(service)] == [asked, asked], "whichever answers"
        former = pair(service)[0]
        os.kill(former, how)
        assert [look(service, worker) for worker in pair(service, former)] == [asked, asked], how.name
    files = [file.name for file in folder.glob("takeoff-metrics-*/*")]
    assert sorted(files) == ["counter_0.db", "counter_1.db", "histogram_0.db", "histogram_1.db"], "of places, not of processes"
    service.end()
    assert list(folder.iterdir()) == [], "the counts go with the service"


def pair(service: Service, former: int = 0) -> list[int]:
    """The two workers, once `former` is none of them."""
    end = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < end:
        workers = service.workers()
        if len(workers) == 2 and former not in workers:
            return workers
        time.sleep(0.02)
    raise AssertionError("there were not two workers in time")


def by(service: Service, worker: int, path: str, times: int = 1) -> list[httpx.Response]:
    """What this worker answers, each time over a new connection: the others stand still meanwhile."""
    others = [other for other in pair(service) if other != worker]
    for other in others:
        os.kill(other, signal.SIGSTOP)
    try:
        return [httpx.get(f"{service.url}{path}", timeout=PATIENCE_SECONDS) for _ in range(times)]
    finally:
        for other in others:
            os.kill(other, signal.SIGCONT)


def ask(service: Service, worker: int) -> None:
    assert [answer.json() for answer in by(service, worker, "/healthz", TIMES)] == [{"status": "ok"}] * TIMES


def look(service: Service, worker: int) -> float:
    """How many times health was asked, as counts and histogram both tell through this worker."""
    (answer,) = by(service, worker, "/metrics")
    found = {}
    for family in text_string_to_metric_families(answer.text):
        for sample in family.samples:
            if sample.labels.get("operation") == "getHealth" and "le" not in sample.labels:
                found[sample.name] = sample.value
    assert found["takeoff_http_request_duration_seconds_count"] == found.get("takeoff_http_requests_total")
    return found["takeoff_http_requests_total"]
