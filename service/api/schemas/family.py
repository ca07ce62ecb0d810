"""One table of members a resource, and from it every shape that the resource has on the wire.

    create   POST: what a caller may send; its parent is in the path
    put      PUT: the same, with the parent named in the body; what a GET answered can be sent back whole
    patch    PATCH: any of them, null for "as if left out"
    read     what is answered: every member, always
    page     a page of a list of them

Schemas say what is sent and what it means. Defaults are documented here and filled in where the data is used.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple

import marshmallow as ma
from flask import request

from service.api.fields import Coded, Id, Int, ListOf, Part, Str, Time, UpTo, Word

ABSENT: Any = object()
"""Members without a default that can be written down: what happens without them is said in words."""


class Request(ma.Schema):
    """What callers send: an object with these members and no others."""

    class Meta:
        unknown = ma.RAISE

    error_messages = {
        "type": Coded("wrong_type", "Must be an object."),
        "unknown": Coded("unknown_member", "This object has no such member."),
    }


class Answer(ma.Schema):
    """What is answered. Callers ignore members they do not know: a later version may add some."""

    class Meta:
        unknown = ma.EXCLUDE


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One member: its kind of value, what it means, and what leaving it out means."""

    make: Callable[..., ma.fields.Field[Any]]
    text: str
    required: bool = False
    nullable: bool = False
    default: Any = ABSENT

    def field(self, **kwargs: Any) -> ma.fields.Field[Any]:
        metadata = {"description": self.text}
        if self.default is not ABSENT and not kwargs.get("dump_only") and "allow_none" not in kwargs:
            metadata["default"] = self.default
        return self.make(**{"required": self.required, "allow_none": self.nullable, **kwargs}, metadata=metadata)

    def in_patch(self) -> ma.fields.Field[Any]:
        return self.field(required=False, allow_none=not self.required)

    def in_answer(self) -> ma.fields.Field[Any]:
        return self.field(required=True, dump_only=True)


Members = Mapping[str, Member]


class Family(NamedTuple):
    create: type[ma.Schema]
    put: type[ma.Schema]
    patch: type[ma.Schema]
    read: type[ma.Schema]
    page: type[ma.Schema]


def answered(make: Callable[..., ma.fields.Field[Any]], text: str, **kwargs: Any) -> ma.fields.Field[Any]:
    """A member that an answer always has."""
    return make(required=True, dump_only=True, metadata={"description": text}, **kwargs)


def sometimes(make: Callable[..., ma.fields.Field[Any]], text: str, **kwargs: Any) -> ma.fields.Field[Any]:
    """A member that an answer has only where it applies."""
    return make(dump_only=True, metadata={"description": text}, **kwargs)


def shown_once(make: Callable[..., ma.fields.Field[Any]], text: str) -> ma.fields.Field[Any]:
    """A member of the first answer to a request; null where that answer is given again, since it is not kept."""
    return make(required=True, dump_only=True, allow_none=True, metadata={"description": text, "x-shown-once": True})


def members_shown_once(answer: type[ma.Schema]) -> tuple[str, ...]:
    fields = answer._declared_fields.items()
    return tuple(name for name, field in fields if field.metadata.get("x-shown-once"))


def family(
    name: str,
    text: str,
    members: Members,
    *,
    parent: str | None = None,
    parent_in_path: bool = False,
    also_put: Members | None = None,
    server_sets: Members | None = None,
) -> Family:
    """The shapes of one resource. `text` starts each description: "A room of a survey".

    `parent`: the member that names the parent; `parent_in_path`: the path of a single one names it already, so that a PUT need
    not. `also_put`: members of POST and PUT only. `server_sets`: members that are answered and never taken.
    """
    whole = {**members, **(also_put or {})}
    belongs = Member(make=Id, text="What it belongs to; fixed once it exists.", required=True)
    parents = {parent: belongs} if parent else {}
    named = {} if parent_in_path else parents
    stored = _stored()
    own = {key: member.in_answer() for key, member in (server_sets or {}).items()}
    told = {**stored, **({key: member.in_answer() for key, member in parents.items()} if parent_in_path else {}), **own}
    create = _shape(f"{name}Create", f"{text}, to be made.", {key: member.field() for key, member in whole.items()})
    put = type(f"{name}Put", (_Put,), {
        "__doc__": f"{text}, whole: a member left out goes back to its default.",
        **{key: member.field() for key, member in {**named, **whole}.items()},
        **{key: _sent_back(field) for key, field in told.items()},
        "told": frozenset(told),
    })  # fmt: skip
    patch = _shape(
        f"{name}Patch",
        f"{text}: the members to change, as a JSON merge patch. null puts one back to its default.",
        {key: member.in_patch() for key, member in {**named, **members}.items()},
    )
    read = type(f"{name}", (Answer,), {
        "__doc__": f"{text}.",
        "id": stored.pop("id"),
        "version": stored.pop("version"),
        **{key: member.in_answer() for key, member in {**parents, **members}.items()},
        **own,
        **stored,
    })  # fmt: skip
    return Family(create, put, patch, read, page(name, read))


def page(name: str, read: type[ma.Schema]) -> type[ma.Schema]:
    """A page of a list."""
    entries = partial(ListOf, Part(read), validate=UpTo("page_limit_most"))
    return type(f"{name}Page", (Answer,), {
        "__doc__": "A page of a list.",
        "items": answered(entries, "The entries, in the list's order."),
        "next_cursor": answered(Str, "Send it as `cursor` for the next page; null at the end.", allow_none=True),
    })  # fmt: skip


def _shape(name: str, text: str, fields: Mapping[str, ma.fields.Field[Any]]) -> type[ma.Schema]:
    return type(name, (Request,), {"__doc__": text, **fields})


def _stored() -> dict[str, ma.fields.Field[Any]]:
    return {
        "id": answered(Id, "Its id."),
        "version": answered(Int, "Grows with every change; the ETag is made from it."),
        "created_at": answered(Time, "When it was made, RFC 3339 in UTC."),
        "updated_at": answered(Time, "When it last changed, RFC 3339 in UTC."),
    }


def _sent_back(field: ma.fields.Field[Any]) -> ma.fields.Field[Any]:
    """A member of an answer as part of a PUT: read, so that an answer can be sent back as it came, and then left aside."""
    metadata = {**field.metadata, "readOnly": True}
    words = {"words": field.words} if isinstance(field, Word) else {}
    return type(field)(**words, allow_none=field.allow_none, metadata=metadata)


class _Put(Request):
    """`told`: members that the server tells and a caller may send back. An id among them must be the one in the path."""

    told: frozenset[str] = frozenset()

    @ma.validates_schema(skip_on_field_errors=False)
    def same_ids(self, data: dict[str, Any], **kwargs: Any) -> None:
        in_path = dict(request.view_args or {})
        if in_path:
            in_path["id"] = [*in_path.values()][-1]
        other = [name for name in self.told & data.keys() & in_path.keys() if data[name] != in_path[name]]
        if other:
            raise ma.ValidationError({name: [Coded("other_id", "Is not the id in the path.")] for name in sorted(other)})

    @ma.post_load
    def without_told(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        return {key: value for key, value in data.items() if key not in self.told}
