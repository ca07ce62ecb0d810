"""One mutation after the other, on a project that is locked: what stands in its way, or the write."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import replace
from uuid import UUID

from sqlalchemy.orm import Session

from service.errors import BoundReached, Conflict, Fault, Gone, Invalid, Missing
from service.store import rows
from service.store.kinds import KINDS
from service.store.ledger import Ledger
from service.store.models import Versioned
from service.store.rules import as_id
from service.usecases.change_records import Change, Mutation, Outcome
from service.usecases.members import FORMS, record_of, values_of
from service.usecases.merging import last_seen, merge_fields
from service.usecases.placing import place_of, refuse_another_parent
from service.usecases.records import Precondition
from service.usecases.storing import change, make, members_patched, members_put, own_members, read_values, remove
from service.vocabulary import MutationOp, MutationStatus, ResourceKind


class Mutating:
    """Remembers which writes are the device's own: what it wrote in this request, or in one whose answer it may not have got, it
    knows of, though its base version does not say so.
    """

    def __init__(self, session: Session, account_id: UUID, ledger: Ledger) -> None:
        self._session, self._account_id, self._ledger = session, account_id, ledger
        self._own: dict[int, int] = {}
        self.last_write: tuple[int | None, int | None] = (None, None)
        """The number that the last mutation gave its row, and the one that it had (0: none); None where nothing was written."""

    def learn(self, number: int | None, before: int | None) -> None:
        """That a write was the device's own."""
        if number is not None:
            self._own[number] = before or 0

    def outcome(self, mutation: Mutation) -> Outcome:
        """Carries it out, if nothing is in its way."""
        self.last_write = (None, None)
        try:
            faults = [*mutation.faults, *self._faults(mutation)]
            if faults:
                raise Invalid(faults)
            row = rows.find(self._session, mutation.kind, mutation.row_id)
            if row is None:
                return self._to_none(mutation)
            if row.account_id != self._account_id or not self._is_of_this_project(row):
                raise Invalid([_unknown(mutation)])
            if row.deleted_at is not None:
                return _to_a_deleted(mutation, _as_it_stands(row))
            return self._delete(mutation, row) if mutation.op is MutationOp.DELETE else self._edit(mutation, row)
        except Invalid as invalid:
            return Outcome(MutationStatus.REFUSED, faults=tuple(invalid.faults))

    def _faults(self, mutation: Mutation) -> list[Fault]:
        """What is wrong with the mutation itself, apart from its data."""
        faults = []
        if mutation.kind is ResourceKind.PROJECT and mutation.row_id != self._ledger.root.id:
            faults.append(Fault("#/id", "Is not the project whose changes these are.", "other_id"))
        if mutation.kind is ResourceKind.PROJECT and mutation.op is MutationOp.DELETE:
            faults.append(Fault("#/op", "A project is deleted by a request of its own.", "not_here"))
        if mutation.base_version is None and mutation.op is not MutationOp.PUT:
            faults.append(Fault("#/base_version", "This member is required for a patch or delete.", "required"))
        if (mutation.base_version or 0) > self._ledger.root.change_counter:
            faults.append(Fault("#/base_version", "The project has not come to this version.", "unknown_version"))
        return faults

    def _to_none(self, mutation: Mutation) -> Outcome:
        """Where there is no such row, a put makes it, unless there was one."""
        ended = self._swept(mutation.kind, mutation.row_id)
        if ended is not None:
            return _to_a_deleted(mutation, ended)
        if mutation.op is not MutationOp.PUT:
            raise Invalid([_unknown(mutation)])
        return self._make(mutation)

    def _make(self, mutation: Mutation) -> Outcome:
        shape = KINDS[mutation.kind]
        assert shape.parent is not None, "a project is there, or nothing beneath it could be asked for"
        parent_id = as_id(mutation.data.get(shape.parent_id or ""))
        parent = None if parent_id is None else rows.find(self._session, shape.parent, parent_id)
        if parent is not None and not self._is_of_this_project(parent):
            fault = Fault(f"#/data/{shape.parent_id}", f"There is no {shape.parent} with this id in this project.", "unknown_id")
            raise Invalid([fault])
        if parent is not None and parent.deleted_at is not None:
            return Outcome(MutationStatus.CONFLICT, _as_it_stands(parent))
        ended = self._swept(shape.parent, parent_id) if parent is None and parent_id is not None else None
        if ended is not None:
            return Outcome(MutationStatus.CONFLICT, ended)
        with _refusals_named(mutation.kind):
            place = place_of(self._session, self._account_id, mutation.kind, mutation.row_id, mutation.data)
            assert place is not None, "what has no parent is the project itself"
            beneath = (place, self._ledger)
            row = make(self._session, self._account_id, mutation.kind, mutation.data, beneath, mutation.row_id)
        return self._applied(row, 0)

    def _delete(self, mutation: Mutation, row: Versioned) -> Outcome:
        """Whatever stands beneath goes too, so all of it must have been seen."""
        base = mutation.base_version or 0
        ending = [row, *rows.beneath(self._session, row.resource_kind, [row.id])]
        newer = sorted((each for each in ending if self._unseen(each.version) > base), key=lambda each: each.version)
        if newer:
            return Outcome(MutationStatus.CONFLICT, _as_it_stands(row), newer=tuple(map(_as_it_stands, newer)))
        remove(self._session, self._ledger, row)
        return Outcome(MutationStatus.APPLIED, Change(row.resource_kind, row.id, row.version, True, None))

    def _edit(self, mutation: Mutation, row: Versioned) -> Outcome:
        whole = mutation.op is MutationOp.PUT
        with _refusals_named(mutation.kind):
            refuse_another_parent(row, mutation.data)
            members = members_put(row, mutation.data) if whole else members_patched(self._session, row, mutation.data)
            faults: list[Fault] = []
            wanted = read_values(self._session, self._account_id, mutation.kind, members, None, faults)
            if faults:
                raise Invalid(faults)
        base = mutation.base_version or 0
        past = rows.past_of(self._session, row, base) if row.version > base else {}
        seen = last_seen(row, wanted, base, self._own, past)
        named = _named(mutation, wanted)
        merged = merge_fields(row, wanted, named, seen, whole=whole)
        if merged.contested:
            return Outcome(MutationStatus.CONFLICT, _as_it_stands(row), members=merged.contested)
        stands = FORMS[mutation.kind].given(values_of(row))
        members = {**stands, **{name: members.get(name) for name in merged.taken}}
        before = row.version
        with _refusals_named(mutation.kind):
            change(self._session, self._account_id, self._ledger, row, members, None, Precondition.any())
        return self._applied(row, before)

    def _swept(self, kind: ResourceKind, id: UUID) -> Change | None:
        """What is left of a row of this project that was deleted long ago: that it was."""
        for was in rows.swept(self._session, [id]):
            if was.kind == kind and was.project_id == self._ledger.root.id:
                return Change(kind, id, was.version, True, None)
        return None

    def _applied(self, row: Versioned, before: int) -> Outcome:
        if row.version != before:
            self.last_write = (row.version, before)
            self.learn(*self.last_write)
        return Outcome(MutationStatus.APPLIED, _as_it_stands(row))

    def _unseen(self, version: int) -> int:
        """The last write of a row that was not the device's own."""
        while version in self._own:
            version = self._own[version]
        return version

    def _is_of_this_project(self, row: Versioned) -> bool:
        return getattr(row, "project_id", row.id) == self._ledger.root.id


def _to_a_deleted(mutation: Mutation, ended: Change) -> Outcome:
    """What is deleted stays deleted: a delete has its effect already, an edit meets the last copy."""
    if mutation.op is MutationOp.DELETE:
        return Outcome(MutationStatus.APPLIED, replace(ended, record=None))
    return Outcome(MutationStatus.CONFLICT, ended)


def _unknown(mutation: Mutation) -> Fault:
    return Fault("#/id", f"There is no {KINDS[mutation.kind].name} with this id in this project.", "unknown_id")


def _as_it_stands(row: Versioned) -> Change:
    """With its last copy, where it is a tombstone."""
    return Change(row.resource_kind, row.id, row.version, row.deleted_at is not None, record_of(row))


def _named(mutation: Mutation, fields: Collection[str]) -> frozenset[str]:
    """The fields that a mutation speaks of: a patch those in it; a put all, but a position only where it gives one."""
    sent = own_members(mutation.kind, mutation.data)
    if mutation.op is MutationOp.PATCH:
        return frozenset(sent)
    return frozenset(name for name in fields if name != "position" or sent.get("position") is not None)


@contextmanager
def _refusals_named(kind: ResourceKind) -> Iterator[None]:
    """What the path of single requests refuses, as faults of the mutation."""
    shape = KINDS[kind]
    try:
        yield
    except Invalid as invalid:
        raise Invalid([replace(fault, pointer=f"#/data{fault.pointer[1:]}") for fault in invalid.faults]) from None
    except Missing as missing:
        raise Invalid([Fault("#/id", missing.detail, "unknown_id")]) from None
    except Gone as gone:
        raise Invalid([Fault("#/id", gone.detail, "deleted_id")]) from None
    except BoundReached as bound:
        raise Invalid([Fault(f"#/data/{shape.parent_id}", bound.detail, "too_many")]) from None
    except Conflict as conflict:
        if "used_by" in conflict.extra:
            fault = Fault("#/id", conflict.detail, "id_of_another_kind")
        elif "id" in conflict.extra:
            fault = Fault(f"#/data/{shape.unique}", conflict.detail, "taken", {"id": str(conflict.extra["id"])})
        else:
            fault = Fault(f"#/data/{shape.parent_id}", conflict.detail, "fixed")
        raise Invalid([fault]) from None
