"""Keeps the leases of requests at work: so a lease may be short, and runs out only where a process died or stands still."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta

import structlog

from service.store.database import Database
from service.usecases.records import Lease
from service.usecases.renew_claim import renew_claim

RENEWALS = 3
"""In the time of one lease."""

log = structlog.get_logger("service.leases")


class Leases:
    """What this process holds, renewed by one thread for all requests. It ends when a turn finds nothing to renew, and the next
    request starts another: a thread for each would cost as much as half of what most of them do.
    """

    def __init__(self, lasting: timedelta) -> None:
        self.lasting = lasting
        self._held: dict[Lease, Database] = {}
        self._lock = threading.Lock()
        self._runs = False

    @contextmanager
    def kept(self, database: Database, lease: Lease) -> Iterator[None]:
        """Renews the lease while the block runs, however long that takes. Nobody waits for the thread, which may itself wait for
        what the block is about to commit.
        """
        with self._lock:
            self._held[lease] = database
            if not self._runs:
                threading.Thread(target=self._run, name="leases", daemon=True).start()
                self._runs = True
        try:
            yield
        finally:
            with self._lock:
                self._held.pop(lease, None)

    def _run(self) -> None:
        while True:
            time.sleep(self.lasting.total_seconds() / RENEWALS)
            with self._lock:
                held = list(self._held.items())
                self._runs = bool(held)
            if not held:
                return
            for lease, database in held:
                try:
                    if not renew_claim(database, lease, self.lasting):
                        self._held.pop(lease, None)
                except Exception:  # whatever it is, the other leases are still to be renewed, and this one in the next turn
                    log.warning("a lease was not renewed", exc_info=True)
