"""Settings: the environment, read once, typed and frozen.

`DATABASE_URL` says which database, `PROMETHEUS_MULTIPROC_DIR` is named by the library that counts; everything else is `SERVICE_`
and the setting's name in capitals, `SERVICE_ROOMS_PER_SURVEY`.
"""

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

DATA_DIR = Path("data")


class InvalidSettings(ValueError):
    """Names every variable that is wrong, and why."""


def _setting(default: Any, text: str, *, least: float | None = None, words: tuple[str, ...] = ()) -> Any:
    return field(default=default, metadata={"text": text, "least": least, "words": words})


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """One running service's settings.

    Raises:
        InvalidSettings: when made with a value below its least or not among its words.
    """

    database_url: str = _setting("", "SQLAlchemy URL; empty: a SQLite file in data_dir")
    data_dir: Path = _setting(DATA_DIR, "where the SQLite file is kept")  # noqa: RUF009 - a Path does not change

    sqlite_synchronous: str = _setting(
        "NORMAL",
        "NORMAL may lose the last commits when the power fails, never the file; FULL loses nothing and is slower",
        words=("NORMAL", "FULL"),
    )
    sqlite_busy_seconds: int = _setting(10, "how long a write waits for another to end (SQLite)", least=0)
    pool_size: int = _setting(5, "connections kept open by one process; as many as it has threads", least=1)
    pool_overflow: int = _setting(2, "further connections for a rush", least=0)
    pool_wait_seconds: int = _setting(5, "how long a request waits for a connection", least=0)
    connect_seconds: int = _setting(5, "how long a connection may take to be made (PostgreSQL)", least=1)
    statement_milliseconds: int = _setting(15_000, "longest run of one statement (PostgreSQL)", least=1)
    lock_milliseconds: int = _setting(3_000, "longest wait for a row lock (PostgreSQL)", least=1)
    transaction_pooler: bool = _setting(False, "set where a pooler in transaction mode stands before PostgreSQL")

    claim_seconds: int = _setting(
        15, "how long after the death of whoever works on a request with an Idempotency-Key a retry takes it over", least=1
    )
    answers_kept_hours: int = _setting(24, "how long the answer to such a request is kept", least=24)

    body_bytes: int = _setting(5_000_000, "largest request body", least=1)
    rooms_per_survey: int = _setting(200, "most rooms in a survey", least=1)
    walls_per_room: int = _setting(60, "most walls in a room", least=1)
    openings_per_wall: int = _setting(20, "most openings in a wall", least=0)
    features_per_wall: int = _setting(50, "most features on a wall", least=0)
    deletions_kept_days: int = _setting(
        90, "how long deletions, values written over and results of mutations are kept for devices that are offline", least=90
    )
    mutations_per_request: int = _setting(200, "most mutations in one request", least=1)
    page_limit: int = _setting(50, "entries of a list where the caller does not say", least=1)
    page_limit_most: int = _setting(200, "most entries of a list at a time", least=1)

    metrics_dir: str = _setting("", "where workers' counts meet, made by gunicorn's hooks; empty: each process counts for itself")
    log_level: str = _setting("INFO", "least severe line that is logged", words=("DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL"))

    def __post_init__(self) -> None:
        faults = []
        for f in fields(self):
            value, least, words = getattr(self, f.name), f.metadata["least"], f.metadata["words"]
            if least is not None and value < least:
                faults.append(f"{_variable(f.name)} must be at least {least}, is {value}")
            if words and value not in words:
                faults.append(f"{_variable(f.name)} must be one of {', '.join(words)}, is {value!r}")
        if faults:
            raise InvalidSettings("; ".join(faults))
        if not self.database_url:
            object.__setattr__(self, "database_url", f"sqlite:///{Path(self.data_dir).absolute() / 'service.sqlite'}")

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] | None = None) -> "Settings":
        """Settings from the process's environment, or from another mapping.

        Raises:
            InvalidSettings: naming every variable that cannot be read.
        """
        environment = os.environ if environment is None else environment
        known = {_variable(f.name): f for f in fields(cls)}
        faults = []
        values: dict[str, Any] = {}
        for name, f in known.items():
            text = environment.get(name, "")
            if not text:
                continue
            try:
                values[f.name] = _read(f.default, text)
            except ValueError as wrong:
                faults.append(f"{name} {wrong}")
        if faults:
            raise InvalidSettings("; ".join(faults))
        return cls(**values)


_NAMED_BY_OTHERS = {"database_url": "DATABASE_URL", "metrics_dir": "PROMETHEUS_MULTIPROC_DIR"}


def _variable(name: str) -> str:
    return _NAMED_BY_OTHERS.get(name, f"SERVICE_{name.upper()}")


def _read(default: object, text: str) -> object:
    """The text as a value of the default's type."""
    if isinstance(default, bool):
        if text.lower() not in ("true", "false"):
            raise ValueError(f"must be true or false, is {text!r}")
        return text.lower() == "true"
    if isinstance(default, int):
        try:
            return int(text)
        except ValueError:
            raise ValueError(f"must be a whole number, is {text!r}") from None
    return Path(text) if isinstance(default, Path) else text
