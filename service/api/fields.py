"""The kinds of JSON value a request may hold, each as strict as the JSON Schema it is documented with.

marshmallow on its own takes "12" for a number and "yes" for true, and refuses 3.0 for an integer; none of that is what the
document says. Every refusal here carries a stable code beside its sentence (`Coded`), which `service.api.problems` shows.
"""

import math
import re
import uuid
from collections.abc import Sequence
from enum import StrEnum
from typing import Any

import marshmallow as ma
from flask import current_app


class Coded(str):
    """A sentence with a stable code that programs may rely on."""

    code: str

    def __new__(cls, code: str, sentence: str) -> "Coded":
        made = super().__new__(cls, sentence)
        made.code = code
        return made

    def __getnewargs__(self) -> tuple[str, str]:
        """For copies: whoever writes the document copies what it describes."""
        return self.code, str(self)


class _Strict:
    """Gives every error that a field makes its code: the key of marshmallow's own table of messages, unless listed below."""

    default_error_messages = {"required": "This member is required.", "null": "Must not be null."}
    codes = {"invalid": "wrong_type", "invalid_utf8": "wrong_type", "invalid_uuid": "wrong_type", "type": "wrong_type"}

    def make_error(self, key: str, **values: Any) -> ma.ValidationError:
        sentence = self.error_messages[key].format(**values)
        return ma.ValidationError(Coded(self.codes.get(key, key), sentence))


class Num(_Strict, ma.fields.Float):
    """A JSON number. Never text, never true or false, always finite."""

    default_error_messages = {"invalid": "Must be a number."}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise self.make_error("invalid")
        return int(value) if float(value).is_integer() else value


class Int(_Strict, ma.fields.Integer):
    """A JSON number without a fraction; 3.0 is 3, as JSON Schema has it."""

    default_error_messages = {"invalid": "Must be a whole number."}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float) or not float(value).is_integer():
            raise self.make_error("invalid")
        return int(value)


class QueryInt(Int):
    """A whole number written in a query string."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if not re.fullmatch(r"[+-]?[0-9]{1,100}", str(value)):
            raise self.make_error("invalid")
        return int(value)


class Flag(_Strict, ma.fields.Boolean):
    """true or false, and nothing that merely looks like it."""

    default_error_messages = {"invalid": "Must be true or false."}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise self.make_error("invalid")
        return value


class QueryFlag(Flag):
    """`true` or `false` written in a query string."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if value not in ("true", "false"):
            raise self.make_error("invalid")
        return bool(value == "true")


class Str(_Strict, ma.fields.String):
    """Text without NUL, which PostgreSQL cannot keep; the pattern tells a caller so."""

    default_error_messages = {"invalid": "Must be text.", "nul": "Must not contain the character NUL."}

    def __init__(self, **kwargs: Any) -> None:
        if not kwargs.get("dump_only") and not isinstance(kwargs.get("validate"), Matches):  # whose form is narrower
            kwargs["metadata"] = {"pattern": r"^[^\u0000]*$", **(kwargs.get("metadata") or {})}
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise self.make_error("invalid")
        if "\x00" in value:
            raise self.make_error("nul")
        return value


class Id(_Strict, ma.fields.UUID):
    """A UUID in its usual form of five groups."""

    default_error_messages = {"invalid_uuid": "Must be a UUID."}
    form = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> uuid.UUID:
        if not isinstance(value, str) or not self.form.fullmatch(value):
            raise self.make_error("invalid_uuid")
        return uuid.UUID(value)


class Time(_Strict, ma.fields.AwareDateTime):
    """An RFC 3339 time with its offset; UTC is what answers use."""

    default_error_messages = {
        "invalid": "Must be an RFC 3339 time with an offset, such as 2031-05-01T12:00:00Z.",
        "invalid_awareness": "Must say its offset from UTC.",
    }
    codes = {**_Strict.codes, "invalid_awareness": "wrong_type"}
    form = re.compile(r"\d{4}-\d{2}-\d{2}[Tt]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})", re.ASCII)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        if not isinstance(value, str) or not self.form.fullmatch(value):
            raise self.make_error("invalid")
        return super()._deserialize(value.upper(), attr, data, **kwargs)


class Word(Str):
    """One of a closed list of words."""

    default_error_messages = {"choice": "Must be one of: {words}."}
    codes = {**_Strict.codes, "choice": "not_in_list"}

    def __init__(self, words: type[StrEnum], **kwargs: Any) -> None:
        self.words = words
        kwargs["metadata"] = {**(kwargs.get("metadata") or {}), "enum": [word.value for word in words]}
        super().__init__(**kwargs)
        self.metadata = {key: value for key, value in self.metadata.items() if key != "pattern"}
        if self.allow_none:
            self.metadata["enum"] = [*self.metadata["enum"], None]

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, attr, data, **kwargs)
        if text not in {word.value for word in self.words}:
            raise self.make_error("choice", words=", ".join(self.words))
        return text


class ListOf(_Strict, ma.fields.List):
    """A list. One that is too long is refused as that, before its entries are looked at."""

    default_error_messages = {"invalid": "Must be a list."}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[Any]:
        for bound in self.validators:
            if isinstance(bound, Length) and isinstance(value, list):
                bound(value)
        return super()._deserialize(value, attr, data, **kwargs)


class AllOrSome(_Strict, ma.fields.Field[Any]):
    """true for all, false for none, or a list of ids."""

    default_error_messages = {"invalid": "Must be true, false or a list of ids."}
    most = 1000

    def __init__(self, **kwargs: Any) -> None:
        ids = {"type": "array", "items": {"type": "string", "format": "uuid"}, "maxItems": self.most, "uniqueItems": True}
        kwargs["metadata"] = {**(kwargs.get("metadata") or {}), "anyOf": [{"type": "boolean"}, ids]}
        super().__init__(**kwargs)
        self._ids = ListOf(Id(), validate=[Length(0, self.most), Distinct()])

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool | list[uuid.UUID]:
        if isinstance(value, bool):
            return value
        if not isinstance(value, list):
            raise self.make_error("invalid")
        ids: list[uuid.UUID] = self._ids.deserialize(value, attr, data, **kwargs)
        return ids


class Part(_Strict, ma.fields.Nested):
    """An object within an object."""

    default_error_messages = {"type": "Must be an object."}


class PartOf(_Strict, ma.fields.Field[Any]):
    """An object of one of several shapes; which one, something else says. Documented as any of them, read as it is."""

    default_error_messages = {"type": "Must be an object."}

    def __init__(self, shapes: Sequence[type[ma.Schema]], **kwargs: Any) -> None:
        self.shapes = shapes
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise self.make_error("type")
        return value


class Between(ma.validate.Range):
    """A number from `least` to `most`, both allowed."""

    def _format_error(self, value: Any, message: str) -> str:
        return Coded("out_of_range", f"Must be from {self.min:g} to {self.max:g}.")


class Length(ma.validate.Length):
    """Text or a list of `min` to `max` characters or entries."""

    def _format_error(self, value: Any, message: str) -> str:
        unit = "characters" if isinstance(value, str) else "entries"
        least = f"at least {self.min} and " if self.min else ""
        code = "too_long" if self.max is not None and len(value) > self.max else "too_short"
        return Coded(code, f"Must have {least}at most {self.max} {unit}, has {len(value)}.")


class UpTo(Length):
    """A list no longer than a bound of the running service's settings, which the document shows too."""

    def __init__(self, setting: str) -> None:
        self.setting = setting
        super().__init__(max=0)

    @property
    def max(self) -> int:
        return int(getattr(current_app.extensions["settings"], self.setting))

    @max.setter
    def max(self, value: int | None) -> None:
        """The bound is the setting's; what marshmallow's constructor hands over is not kept."""


class Distinct(ma.validate.Validator):
    """A list without an entry that stands in it twice."""

    def __call__(self, value: list[Any]) -> list[Any]:
        if len(set(value)) < len(value):
            raise ma.ValidationError(Coded("given_twice", "Must not hold the same entry twice."))
        return value


class Matches(ma.validate.Regexp):
    """Text of one form; `sentence` says which."""

    def __init__(self, pattern: str, sentence: str) -> None:
        self.sentence = sentence
        super().__init__(re.compile(pattern, re.ASCII))

    def _format_error(self, value: str) -> str:
        return Coded("wrong_form", self.sentence)

    def __call__(self, value: str) -> str:
        if self.regex.fullmatch(value) is None:
            raise ma.ValidationError(self._format_error(value))
        return value
