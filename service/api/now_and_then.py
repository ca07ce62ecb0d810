"""Clearing away that some request does in passing, so that nobody has to run a clock."""

import time
from collections.abc import Callable
from contextlib import suppress

from flask import current_app

from service.errors import Unavailable


def now_and_then(name: str, seconds: float, work: Callable[[], object]) -> None:
    """Does `work`, unless this process did what is called `name` within so many seconds. Where the database is not to be had, the
    next turn does it.
    """
    done_at = current_app.extensions.setdefault("done_at", {})
    moment = time.monotonic()
    if moment - done_at.get(name, float("-inf")) < seconds:
        return
    done_at[name] = moment
    with suppress(Unavailable):
        work()
