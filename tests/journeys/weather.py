"""A service in rough weather and callers that get through it.

The service is gunicorn with several workers on PostgreSQL; a worker may be killed at any moment. A caller sends each request
until it has an answer that is final, as its side of the contract says: the same request again, a POST with its Idempotency-Key.
"""

import os
import random
import signal
import socket
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import httpx

ROOT = Path(__file__).parents[2]
WORKERS = 3
PATIENCE_SECONDS = 60
CALM = {"nothing": 1.0}
ROUGH = {"nothing": 0.72, "the same twice at once": 0.15, "the answer is lost": 0.1, "a worker is killed": 0.03}


class Service:
    """gunicorn and its workers.

    `command`: how it is started, `{port}` for where it is to listen.
    """

    def __init__(self, database_url: str, command: Sequence[str], **settings: str) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        self.url = f"http://127.0.0.1:{port}"
        begin = [sys.executable, "-m", *(word.format(port=port) for word in command)]
        environment = {**os.environ, "DATABASE_URL": database_url, "SERVICE_LOG_LEVEL": "ERROR", **settings}
        self._process = subprocess.Popen(begin, cwd=ROOT, env=environment)
        self.deaths = 0

    def workers(self) -> list[int]:
        pid = self._process.pid
        return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]

    def kill(self, workers: list[int]) -> None:
        for worker in workers:
            with suppress(ProcessLookupError):
                os.kill(worker, signal.SIGKILL)
                self.deaths += 1

    def stop(self, workers: list[int]) -> None:
        """They stand still, as on a machine that is out of memory, and another one comes."""
        for worker in workers:
            os.kill(worker, signal.SIGSTOP)
        self._process.send_signal(signal.SIGTTIN)

    def go_on(self, workers: list[int]) -> None:
        for worker in workers:
            os.kill(worker, signal.SIGCONT)
        self._process.send_signal(signal.SIGTTOU)

    def await_ready(self) -> None:
        end = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < end:
            assert self._process.poll() is None, "the service ended before it was ready"
            with suppress(httpx.TransportError):
                if httpx.get(f"{self.url}/readyz").status_code == 200:
                    return
            time.sleep(0.05)
        raise AssertionError("the service was not ready in time")

    def end(self) -> None:
        self._process.terminate()
        assert self._process.wait(30) == 0, "the service ends in good order"


# The app is loaded before the fork: whoever takes a dead worker's place is there at once.
COMMAND = ("gunicorn", "service.wsgi:app", "-b", "127.0.0.1:{port}", "--no-control-socket", "-k", "gthread", "--threads", "4",
           "-w", str(WORKERS), "--preload", "--log-level", "critical")  # fmt: skip
# A lease of a second: a retry after a death need not wait longer. Locks may be waited for while a test looks on.
SETTINGS = {"SERVICE_CLAIM_SECONDS": "1", "SERVICE_LOCK_MILLISECONDS": "20000"}


@contextmanager
def serving(database_url: str, command: Sequence[str] = COMMAND, **settings: str) -> Iterator[Service]:
    service = Service(database_url, command, **(settings or SETTINGS))
    try:
        service.await_ready()
        yield service
    finally:
        service.end()


class Caller:
    """Sends requests one by one, in `weather`: what happens to a request, with its share. The same seed, the same weather."""

    def __init__(self, service: Service, secret: str, weather: dict[str, float], seed: int, check: Any) -> None:
        self._service = service
        self._dice = random.Random(seed)
        self._weather = weather
        self._names = f"{seed}-{{}}"
        self._sent = 0
        self.happened: Counter[str] = Counter()
        self._client = httpx.Client(
            base_url=service.url,
            headers={"Authorization": f"Bearer {secret}"},
            timeout=PATIENCE_SECONDS,
            event_hooks={"response": [check]},
        )

    def __enter__(self) -> "Caller":
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def send(self, method: str, path: str, body: Any = None, **headers: str) -> httpx.Response:
        """The final answer."""
        self._sent += 1
        if method == "POST":
            headers["Idempotency-Key"] = self._names.format(self._sent)
        request = {"method": method, "url": path, "json": body, "headers": headers}
        event = self._dice.choices(list(self._weather), list(self._weather.values()))[0]
        after, whose = self._dice.uniform(0, 0.03), self._dice.random()
        self.happened[event] += 1
        if event == "the same twice at once":
            with ThreadPoolExecutor(2) as threads:
                first, second = threads.map(self._until_final, [request, request])
            assert first.status_code < 300 and second.status_code < 300, f"{first.text} {second.text}"
            return first
        if event == "the answer is lost":
            with suppress(httpx.TransportError):
                self._client.request(**request, timeout=httpx.Timeout(PATIENCE_SECONDS, read=after))
        if event == "a worker is killed":
            with ThreadPoolExecutor(1) as thread:
                first = thread.submit(self._once, request)
                time.sleep(after)
                workers = self._service.workers()
                self._service.kill(workers[int(whose * len(workers)) :][:1])
                first.result()
        return self._until_final(request)

    def again(self, path: str, body: Any) -> httpx.Response:
        """The last POST once more, as after a lost answer."""
        key = {"Idempotency-Key": self._names.format(self._sent)}
        return self._until_final({"method": "POST", "url": path, "json": body, "headers": key})

    def all(self, path: str) -> list[Any]:
        """Every entry of a list."""
        entries: list[Any] = []
        onward: str | None = path
        while onward is not None:
            answer = self.send("GET", onward)
            entries += answer.json()["items"]
            onward = answer.links.get("next", {}).get("url")
        return entries

    def _once(self, request: dict[str, Any]) -> httpx.Response | None:
        """None where there is no answer, or none that is final."""
        try:
            answer = self._client.request(**request)
        except httpx.TransportError:
            return None
        waits = answer.status_code == 503 or (answer.status_code == 409 and answer.json()["type"] == "/docs#request-in-progress")
        return None if waits else answer

    def _until_final(self, request: dict[str, Any]) -> httpx.Response:
        end = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < end:
            answer = self._once(request)
            if answer is not None:
                return answer
            time.sleep(0.1)
        raise AssertionError(f"no final answer to {request['method']} {request['url']}")
