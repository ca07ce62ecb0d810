"""The six verbs of every stored resource: list, create, read, put, patch, delete. Each resource's own file says which it is."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response

from service.api import answers
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.conditional import precondition
from service.api.paging import page_answer
from service.api.schemas.family import Family
from service.api.schemas.queries import NoQuery, PageQuery
from service.errors import Gone, Missing
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.list_resources import list_resources
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.records import Record
from service.usecases.replace_resource import replace_resource
from service.vocabulary import KeyScope, ResourceKind

Ids = Mapping[str, UUID]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """One kind of stored resource on the wire.

    `nouns`: one and many of it, for summaries and operation ids (`getRoom`, `listRooms`). `collection`, `single`: its paths. The
    last id of `single` is the resource's own; one before it is the parent that it must lie under. `parent`: the member that names
    the parent in the body of a PUT, where the path does not. `example`: an answer; `sent`: a body that makes it; `patched`: a
    patch. `under`: the kind of the parent in the path of `single`.
    """

    kind: ResourceKind
    shapes: Family
    nouns: tuple[str, str]
    collection: str
    single: str
    example: Mapping[str, Any]
    sent: Mapping[str, Any]
    patched: Mapping[str, Any]
    parent: str | None = None
    under: ResourceKind | None = None
    list_query: type[ma.Schema] = PageQuery
    delete_query: type[ma.Schema] = NoQuery
    deletes: str = "Its id stays deleted."

    def add_to(self, blueprint: Blueprint) -> None:
        """Routes and documents the six operations."""
        one, many = self.nouns
        an = f"an {one}" if one[0] in "aeiou" else f"a {one}"
        shapes, example, own, all_of_them = self.shapes, self.example, _camel(one), _camel(many)
        put_sent = self.sent if self.parent is None else {self.parent: example[self.parent], **self.sent}
        after_patch = {**example, **self.patched, "version": example["version"] + 1}
        operation, read, write = blueprint.operation, KeyScope.READ, KeyScope.WRITE

        operation("GET", self.collection, f"list{all_of_them}", summary=f"List {many}", scope=read, query=self.list_query,
                  answer=shapes.page, example={"items": [example], "next_cursor": None}, paged=True,
                  problems=(410,) if "<" in self.collection else ())(self._list)  # fmt: skip
        operation("POST", self.collection, f"create{own}", summary=f"Make {an}", scope=write, body=shapes.create,
                  body_example=self.sent, answer=shapes.read, example=example, status=201, etag=True,
                  problems=(409, 410))(self._create)  # fmt: skip
        operation("GET", self.single, f"get{own}", summary=f"Read {an}", scope=read, answer=shapes.read, example=example,
                  etag=True, problems=(410,))(self._read)  # fmt: skip
        operation("PUT", self.single, f"put{own}", summary=f"Make or replace {an} under an id of your own", scope=write,
                  body=shapes.put, body_example=put_sent, answer=shapes.read, example=example, status=(200, 201), etag=True,
                  precondition=True)(self._put)  # fmt: skip
        operation("PATCH", self.single, f"patch{own}", summary=f"Change some members of {an}", scope=write, body=shapes.patch,
                  body_example=self.patched, answer=shapes.read, example=after_patch, etag=True,
                  precondition=True)(self._patch)  # fmt: skip
        operation("DELETE", self.single, f"delete{own}", summary=f"Delete {an}", description=self.deletes, scope=write,
                  query=self.delete_query, status=204, precondition=True)(self._delete)  # fmt: skip

    def _list(self, query: Mapping[str, Any] | None = None, **ids: UUID) -> Response:
        query = query or {}
        wanted = {name: value for name, value in query.items() if name not in ("limit", "cursor")}

        fetch = partial(list_resources, database(), account_id(), self.kind, parent_id=_first(ids))
        return page_answer(query, fetch, self._shown, **wanted)

    def _create(self, body: Mapping[str, Any], **ids: UUID) -> Response:
        record = create_resource(database(), account_id(), self.kind, body, parent_id=_first(ids))
        return self._answer(record, ids, is_new=True)

    def _read(self, **ids: UUID) -> Response:
        record = read_resource(database(), account_id(), self.kind, _last(ids))
        if any(record.data[name] != parent_id for name, parent_id in _parent(ids).items()):
            raise Missing(f"There is no such {self.nouns[0]} here.")
        return self._answer(record, ids)

    def _put(self, body: Mapping[str, Any], **ids: UUID) -> Response:
        if self.under is not None:
            read_resource(database(), account_id(), self.under, next(iter(ids.values())))
        whole = {**body, **_parent(ids)}
        record, is_new = replace_resource(database(), account_id(), self.kind, _last(ids), whole, precondition())
        return self._answer(record, ids, is_new=is_new)

    def _patch(self, body: Mapping[str, Any], **ids: UUID) -> Response:
        if _parent(ids):
            self._read(**ids)
        record = patch_resource(database(), account_id(), self.kind, _last(ids), body, precondition())
        return self._answer(record, ids)

    def _delete(self, query: Mapping[str, Any] | None = None, **ids: UUID) -> Response:
        if _parent(ids):
            with suppress(Gone):  # deleting what is deleted succeeds
                self._read(**ids)
        with_children = bool(query and query.get("with_children"))
        delete_resource(database(), account_id(), self.kind, _last(ids), precondition(), with_children=with_children)
        return answers.nothing()

    def _answer(self, record: Record, ids: Ids, *, is_new: bool = False) -> Response:
        headers = {"Location": f"{self._home(ids)}/{record.id}"} if is_new else {}
        return answers.versioned(record.version, partial(self._shown, record), 201 if is_new else 200, headers)

    def _shown(self, record: Record) -> dict[str, Any]:
        return shown(record, self.shapes)

    def _home(self, ids: Ids) -> str:
        """The path that ends in the resource's own id, without it."""
        path = self.single.rpartition("/")[0]
        for name, value in ids.items():
            path = path.replace(f"<uuid:{name}>", str(value))
        return path


def shown(record: Record, shapes: Family) -> dict[str, Any]:
    """Exactly the members that are documented, in their order: what is stored for later is not shown before its time."""
    document = record.document()
    return {name: document[name] for name in shapes.read._declared_fields}


def _first(ids: Ids) -> UUID | None:
    return next(iter(ids.values()), None)


def _last(ids: Ids) -> UUID:
    return [*ids.values()][-1]


def _parent(ids: Ids) -> dict[str, UUID]:
    """Every id of the path but the resource's own, by the name of the member that holds it."""
    return dict([*ids.items()][:-1])


def _camel(noun: str) -> str:
    return "".join(word.capitalize() for word in noun.split())
