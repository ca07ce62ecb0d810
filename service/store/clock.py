"""The time that is stored."""

from datetime import UTC, datetime


def now() -> datetime:
    """UTC, to the microsecond, which both databases keep."""
    return datetime.now(UTC)
