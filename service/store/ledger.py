"""The one way by which a versioned row is written.

A root (project, catalogue, specification) counts the writes of itself and of all beneath it. Each written row takes the next
number, which becomes its version, while the root's row is locked: so numbers are given in the order of commits, and whoever has
seen number n has seen all below it. A session refuses to flush a versioned row that did not get its number here.
"""

from collections.abc import Mapping
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import Select, bindparam, event, inspect, select
from sqlalchemy.orm import ORMExecuteState, Session, sessionmaker

from service.store.clock import now
from service.store.models import Overwritten, Project, Root, Versioned


class UnnumberedWrite(RuntimeError):
    """A versioned row was about to be written past the ledger: a fault of this program."""


class Ledger:
    """A root's change counter, held until the transaction ends. Made by `locked`, `sought` or `begun`."""

    def __init__(self, session: Session, root: Root) -> None:
        self._session = session
        self._time = now()
        self.root = root

    @classmethod
    def locked(cls, session: Session, model: type[Root], id: UUID) -> "Ledger":
        """Waits for whoever writes beneath this root, then reads the root as they left it. It must exist."""
        return cls(session, session.scalars(_locking(model), {"sought": id}).one())

    @classmethod
    def sought(cls, session: Session, model: type[Root], account_id: UUID, id: UUID) -> "Ledger | None":
        """The same, where this account has such a root, be it a tombstone; nobody waits for another's."""
        root = session.scalars(_locking_of(model), {"sought": id, "account": account_id}).one_or_none()
        return None if root is None else cls(session, root)

    @classmethod
    def begun(cls, session: Session, root: Root) -> "Ledger":
        """For a root that is being made: nobody else can know it yet. It is still to be written."""
        root.change_counter = 0
        return cls(session, root)

    def write(self, row: Versioned, values: Mapping[str, Any], *, deleted: bool = False) -> None:
        """Makes the row, sets `values` in it, or with `deleted` makes it a tombstone; and numbers that.

        Every new row is given all its values; of an old one those that differ count as written. What a write in a project wrote
        over is kept (`Overwritten`).
        """
        state = inspect(row)
        new = state.transient
        written = [name for name, value in values.items() if new or getattr(row, name) != value]
        before = {} if new else {name: [plain(getattr(row, name)), row.field_versions.get(name, 0)] for name in written}
        for name in written:
            setattr(row, name, values[name])
        number = self.root.change_counter + 1
        self.root.change_counter = number
        if new:
            row.account_id = self.root.account_id
            row.created_at = self._time
            row.field_versions = {}
            self._session.add(row)
        row.field_versions = {**row.field_versions, **dict.fromkeys(written, number)}
        row.version = number
        row.updated_at = self._time
        if deleted:
            row.deleted_at = self._time
        self._session.info.setdefault("numbered", {})[row] = number
        if before and isinstance(self.root, Project):
            past = {"project_id": self.root.id, "row_id": row.id, "number": number}
            self._session.add(Overwritten(**past, fields=before, written_at=self._time))


@cache
def _locking(model: type[Root]) -> Select[tuple[Root]]:
    return select(model).where(model.id == bindparam("sought")).with_for_update().execution_options(populate_existing=True)


@cache
def _locking_of(model: type[Root]) -> Select[tuple[Root]]:
    return _locking(model).where(model.account_id == bindparam("account"))


def plain(value: Any) -> Any:
    """A column's value as JSON keeps it."""
    return str(value) if isinstance(value, UUID) else value


def refuse_unnumbered_writes(sessions: sessionmaker[Session]) -> None:
    """Makes every session of this maker refuse a versioned row whose write took no number, and any write that removes one."""

    @event.listens_for(sessions, "before_flush")
    def check(session: Session, context: object, instances: object) -> None:
        numbered = session.info.get("numbered", {})
        for row in (*session.new, *session.dirty):
            if not isinstance(row, Versioned) or _accounted_for(row, numbered):
                continue
            if row in session.new or session.is_modified(row):
                raise UnnumberedWrite(f"{type(row).__name__} {row.id} was written past the ledger")
        for row in session.deleted:
            if isinstance(row, Versioned):
                raise UnnumberedWrite(f"{type(row).__name__} {row.id} was to be removed; deleting leaves a tombstone")

    @event.listens_for(sessions, "after_flush_postexec")
    def settle(session: Session, context: object) -> None:
        session.info.pop("numbered", None)

    @event.listens_for(sessions, "do_orm_execute")
    def check_statement(execution: ORMExecuteState) -> None:
        mapper = execution.bind_mapper
        writes = execution.is_insert or execution.is_update or execution.is_delete
        if writes and mapper is not None and issubclass(mapper.class_, Versioned):
            raise UnnumberedWrite(f"a statement was to write {mapper.class_.__name__} past the ledger")


def refuse_all_writes(sessions: sessionmaker[Session]) -> None:
    @event.listens_for(sessions, "before_flush")
    def check(session: Session, context: object, instances: object) -> None:
        raise UnnumberedWrite("this session is for reading")


def _accounted_for(row: Versioned, numbered: Mapping[Versioned, int]) -> bool:
    """Numbered in this flush; or a root of which nothing but the counter moved, since something beneath it was written."""
    if row in numbered:
        return row.version == numbered[row]
    state = inspect(row)
    return isinstance(row, Root) and state.persistent and state.committed_state.keys() == {"change_counter"}
