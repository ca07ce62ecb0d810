"""gunicorn's hooks by which the counts of all workers meet in one folder, so that whichever is asked can answer for all.

Each master makes a new folder, so nothing of an earlier run is counted, and takes it away when it ends. A worker writes to the
files of its place among the workers, not of its process id: whoever takes the place of one that was killed or renewed goes on
counting where that one ended, and there are never more files than there were workers at a time.
"""

import itertools
import os
import shutil
import tempfile
from typing import Any

from prometheus_client import values

VARIABLE = "PROMETHEUS_MULTIPROC_DIR"
"""Where the library looks for its folder, and `Settings` too."""


def on_starting(server: Any) -> None:
    """In the master, before there is a worker."""
    os.environ[VARIABLE] = tempfile.mkdtemp(prefix="takeoff-metrics-")


def pre_fork(server: Any, worker: Any) -> None:
    """In the master, where it is known which places are free: it forgets a worker only when that has ended."""
    taken = {other.place for other in server.WORKERS.values()}
    worker.place = next(place for place in itertools.count() if place not in taken)


def post_fork(server: Any, worker: Any) -> None:
    """In the worker, before it makes the app and with it the first value to be counted."""
    values.ValueClass = values.MultiProcessValue(lambda: worker.place)


def on_exit(server: Any) -> None:
    """In the master, after the last worker."""
    shutil.rmtree(os.environ[VARIABLE], ignore_errors=True)
