"""What a column may hold, said once: the database's CHECK and the fault that a caller is shown are both made from it."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, func

from service.vocabulary import ResourceKind


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why a value is refused: a sentence and its stable code."""

    detail: str
    code: str


@dataclass(frozen=True, slots=True)
class Number:
    """A finite number from `least` to `most`, both allowed; `whole`: without a fraction."""

    least: float
    most: float
    whole: bool = False

    def wrong(self, value: object) -> Wrong | None:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            return Wrong("Must be a number.", "wrong_type")
        if self.whole and not float(value).is_integer():
            return Wrong("Must be a whole number.", "wrong_type")
        if not self.least <= value <= self.most:
            return Wrong(f"Must be from {self.least:g} to {self.most:g}.", "out_of_range")
        return None

    def kept(self, value: Any) -> Any:
        return plain_number(value)

    def check(self, column: ColumnElement[Any]) -> ColumnElement[bool]:
        return column.between(self.least, self.most)


@dataclass(frozen=True, slots=True)
class Text:
    """Text of `least` to `most` characters, without NUL (PostgreSQL cannot keep it) or half a surrogate pair."""

    most: int
    least: int = 1

    def wrong(self, value: object) -> Wrong | None:
        if not isinstance(value, str):
            return Wrong("Must be text.", "wrong_type")
        if "\x00" in value or any("\ud800" <= character <= "\udfff" for character in value):
            return Wrong("Must not contain NUL or half a surrogate pair.", "nul")
        if len(value) < self.least:
            return Wrong(f"Must have at least {self.least} characters.", "too_short")
        if len(value) > self.most:
            return Wrong(f"Must have at most {self.most} characters, has {len(value)}.", "too_long")
        return None

    def kept(self, value: Any) -> Any:
        return value

    def check(self, column: ColumnElement[Any]) -> ColumnElement[bool]:
        return func.length(column).between(self.least, self.most)


@dataclass(frozen=True, slots=True)
class Word:
    """One of a closed list."""

    words: type[StrEnum]

    def wrong(self, value: object) -> Wrong | None:
        if value not in {word.value for word in self.words}:
            return Wrong(f"Must be one of: {', '.join(self.words)}.", "not_in_list")
        return None

    def kept(self, value: Any) -> Any:
        return str(value)

    def check(self, column: ColumnElement[Any]) -> ColumnElement[bool]:
        return column.in_([word.value for word in self.words])


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""

    def wrong(self, value: object) -> Wrong | None:
        return None if isinstance(value, bool) else Wrong("Must be true or false.", "wrong_type")

    def kept(self, value: Any) -> Any:
        return value

    def check(self, column: ColumnElement[Any]) -> None:
        return None


@dataclass(frozen=True, slots=True)
class Id:
    """The id of something of this kind in the same account."""

    kind: ResourceKind

    def wrong(self, value: object) -> Wrong | None:
        return None if as_id(value) else Wrong("Must be a UUID.", "wrong_type")

    def kept(self, value: Any) -> Any:
        return as_id(value)

    def check(self, column: ColumnElement[Any]) -> None:
        return None


@dataclass(frozen=True, slots=True)
class Structure:
    """A JSON object or list whose inside is checked by what reads it."""

    type: type[dict[str, Any]] | type[list[Any]]

    def wrong(self, value: object) -> Wrong | None:
        if isinstance(value, self.type):
            return None
        return Wrong("Must be an object." if self.type is dict else "Must be a list.", "wrong_type")

    def kept(self, value: Any) -> Any:
        return value

    def check(self, column: ColumnElement[Any]) -> None:
        return None


Rule = Number | Text | Word | Flag | Id | Structure


def as_id(value: object) -> UUID | None:
    """A UUID, or its text in the usual five groups, as a UUID; None for anything else."""
    if isinstance(value, UUID):
        return value
    if not isinstance(value, str) or len(value) != 36:
        return None
    try:
        return UUID(value)
    except ValueError:
        return None


def plain_number(value: float) -> float:
    """Whole numbers without a fraction, so that 225.0 is written as 225 on every database."""
    return int(value) if float(value).is_integer() else value
