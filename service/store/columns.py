"""Column types and the makers of checked columns.

A maker puts the column's rule into `info["rule"]`, which also says that the column is a member of the JSON form; `Base` turns the
rule into a CHECK, the use cases turn it into faults. A column that is no member has its rule in `info["check"]`.
"""

from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

from sqlalchemy import JSON, Boolean, DateTime, Dialect, Float, ForeignKey, Integer, String, TypeDecorator, Uuid
from sqlalchemy.orm import MappedColumn, mapped_column

from service.store.rules import Flag, Id, Number, Structure, Text, Word
from service.vocabulary import ResourceKind

GREATEST_LENGTH_MM = 100_000
REQUIRED: Any = object()
"""In place of a default: the member must be given."""


class UtcDateTime(TypeDecorator[datetime]):
    """A moment. Stored in UTC, read back with its zone; SQLite would drop the zone. A moment without zone is refused."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without time zone")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def whole(least: int, most: int, default: int | None = REQUIRED) -> MappedColumn[Any]:
    return _column(Integer, Number(least, most, whole=True), default)


def millimetres(default: int | None = REQUIRED, *, least: int = 1) -> MappedColumn[Any]:
    """A survey length: whole mm, or 0 where `least` says so."""
    return whole(least, GREATEST_LENGTH_MM, default)


def number(least: float, most: float, default: float | None = REQUIRED) -> MappedColumn[Any]:
    return _column(Float, Number(least, most), default)


def text(most: int, default: str | None = REQUIRED, *, least: int = 1) -> MappedColumn[Any]:
    return _column(String(most), Text(most, least), default)


def word(words: type[StrEnum], default: StrEnum | None = REQUIRED) -> MappedColumn[Any]:
    return _column(String(32), Word(words), default if default in (REQUIRED, None) else str(default))


def flag(default: bool = REQUIRED) -> MappedColumn[Any]:
    return _column(Boolean, Flag(), default)


def structure(type: type[dict[str, Any]] | type[list[Any]]) -> MappedColumn[Any]:
    """A JSON document, kept as text so that the order of its members is the caller's on every database; may be null."""
    return _column(JSON(none_as_null=True), Structure(type), None)


def refers_to(kind: ResourceKind, column: str, *, optional: bool = False) -> MappedColumn[Any]:
    """The id of another resource."""
    info = {"rule": Id(kind), **({"default": None} if optional else {})}
    return mapped_column(Uuid, ForeignKey(column), nullable=optional, info=info)


def _column(type: Any, rule: Any, default: Any) -> MappedColumn[Any]:
    if default is REQUIRED:
        return mapped_column(type, nullable=False, info={"rule": rule})
    return mapped_column(type, nullable=default is None, info={"rule": rule, "default": default})
