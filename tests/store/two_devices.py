"""Two devices that work offline on one project, and the account that is kept of what they were told.

All values are given once only, so that whose write stands can be told from the value; nothing is ever changed back by chance.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid4

from following import PARENT, Follower

from service.usecases.change_records import Change, Mutation, Outcome
from service.vocabulary import MutationOp as Op
from service.vocabulary import MutationStatus as S
from service.vocabulary import ResourceKind as K

FIELDS = {
    K.ROOM: ("name", "ceiling_height_mm"),
    K.WALL: ("name", "length_mm", "height_left_mm"),
    K.OPENING: ("name", "offset_mm", "width_mm"),
}
"""What the devices write; all but the name is the geometry, which counts as one member."""
UNCHANGED: dict[K, dict[str, Any]] = {K.OPENING: {"kind": "window", "sill_mm": 900, "height_mm": 1200}}
CHILD = {K.PROJECT: K.ROOM, K.ROOM: K.WALL, K.WALL: K.OPENING}


@dataclass
class Held:
    """A row as a device has it. `version`: None where the server has not answered for it yet."""

    kind: K
    parent: UUID
    version: int | None
    values: dict[str, Any]


class Device:
    """`outbox`: its wishes, until they are answered."""

    def __init__(self, follower: Follower) -> None:
        self.follower = follower
        self.outbox: list[Mutation] = []
        self._copy: dict[UUID, Held | None] = {}
        self._versions: dict[UUID, int] = {}

    def view(self) -> dict[UUID, Held]:
        """The server's copy as far as it is known, and the wishes on it; nothing beneath what is not there."""
        rows = {id: Held(held.kind, held.parent, held.version, dict(held.values)) for id, held in self._copy.items() if held}
        for wish in self.outbox:
            if wish.op is Op.DELETE:
                rows.pop(wish.row_id, None)
            elif wish.row_id in rows:
                rows[wish.row_id].values.update(_values(wish.kind, wish.data))
            elif wish.op is Op.PUT and wish.row_id not in self._copy:
                parent = UUID(str(wish.data[PARENT[wish.kind]]))
                rows[wish.row_id] = Held(wish.kind, parent, None, _values(wish.kind, wish.data))
        shown: dict[UUID, Held] = {}
        for kind in FIELDS:
            shown.update(
                {
                    id: held
                    for id, held in rows.items()
                    if held.kind is kind and (held.parent in shown or held.parent == self.follower.project)
                }
            )
        return shown

    def make(self, kind: K, parent: UUID, values: Mapping[str, Any]) -> None:
        data = {PARENT[kind]: str(parent), **UNCHANGED.get(kind, {}), **values}
        self.outbox.append(Mutation(str(uuid4()), kind, uuid4(), Op.PUT, None, data))

    def edit(self, id: UUID, values: Mapping[str, Any], *, whole: bool) -> None:
        """A patch, or a put of the whole row; a row that was never answered for can only be put."""
        held = self.view()[id]
        if whole or held.version is None:
            data = {PARENT[held.kind]: str(held.parent), **UNCHANGED.get(held.kind, {}), **held.values, **values}
            self.outbox.append(Mutation(str(uuid4()), held.kind, id, Op.PUT, held.version, data))
        else:
            self.outbox.append(Mutation(str(uuid4()), held.kind, id, Op.PATCH, held.version, dict(values)))

    def delete(self, id: UUID) -> None:
        seen = self.follower.place.seen if self.follower.place else 0
        self.outbox.append(Mutation(str(uuid4()), self.view()[id].kind, id, Op.DELETE, seen, {}))

    def pull(self) -> bool:
        """One page; whether there is more."""
        more = self.follower.read_page()
        for change in self.follower.rows.values():
            self._take(change)
        return more

    def answered(self, outcomes: Sequence[Outcome]) -> None:
        """Applied or not, the server's copy is taken, and the wishes are done with."""
        for outcome in outcomes:
            for change in (outcome.change, *outcome.newer):
                if change is not None:
                    self._take(change)
        self.outbox.clear()

    def _take(self, change: Change) -> None:
        if change.kind is K.PROJECT or change.version <= self._versions.get(change.id, 0):
            return
        self._versions[change.id] = change.version
        if change.deleted or change.record is None:
            self._copy[change.id] = None
        else:
            data = change.record.data
            parent = UUID(str(data[PARENT[change.kind]]))
            self._copy[change.id] = Held(change.kind, parent, change.version, _values(change.kind, data))


@dataclass
class Row:
    """`writes`: number of each write → what it wrote."""

    kind: K
    parent: UUID | None
    writes: dict[int, dict[str, Any]] = field(default_factory=dict)
    deleted: bool = False

    def stands(self, known: Mapping[int, Any] | None = None, base: int = 0) -> dict[str, Any]:
        """What all writes left, or those up to `base` and the `known` ones."""
        left: dict[str, Any] = {}
        for number, wrote in self.writes.items():
            if known is None or number <= base or number in known:
                left.update(wrote)
        return left


class Account:
    """What the server said that it applied, in order: it must hold that and nothing else.

    It knows the merge rules in one sentence: a wish is carried out unless it meets a write to the same member that its sender
    neither saw nor made.
    """

    def __init__(self, project: UUID) -> None:
        self.rows: dict[UUID, Row] = {project: Row(K.PROJECT, None, {1: {}})}
        self.counter = 1
        self._numbers: dict[str, int | None] = {}
        self._first: dict[str, S] = {}

    def live(self) -> dict[UUID, tuple[UUID | None, dict[str, Any]]]:
        return {id: (row.parent, row.stands()) for id, row in self.rows.items() if row.kind is not K.PROJECT and not row.deleted}

    def enter(self, batch: Sequence[Mutation], outcomes: Sequence[Outcome]) -> None:
        """Holds each answer against what it should be, and books what was applied."""
        own: dict[int, bool] = {}
        for wish, outcome in zip(batch, outcomes, strict=True):
            if wish.id in self._first:
                assert (outcome.status, outcome.first) == (S.DUPLICATE, self._first[wish.id])
            else:
                expected = self._expected(wish, own)
                assert outcome.status is expected, (wish, outcome)
                self._first[wish.id] = expected
                self._numbers[wish.id] = self._book(wish, outcome, own) if expected is S.APPLIED else None
            number = self._numbers[wish.id]
            if number is not None:
                own[number] = True

    def _expected(self, wish: Mutation, own: Mapping[int, Any]) -> S:
        row, base = self.rows.get(wish.row_id), wish.base_version or 0
        if row is None:
            parent = self.rows.get(UUID(wish.data[PARENT[wish.kind]])) if wish.op is Op.PUT else None
            return S.REFUSED if parent is None else S.CONFLICT if parent.deleted else S.APPLIED
        if row.deleted:
            return S.APPLIED if wish.op is Op.DELETE else S.CONFLICT
        touched = self._with_beneath(wish.row_id) if wish.op is Op.DELETE else [row]
        unseen = [wrote for each in touched for number, wrote in each.writes.items() if number > base and number not in own]
        if wish.op is Op.DELETE:
            return S.CONFLICT if unseen else S.APPLIED
        meant = {_member(name) for name in self._meant(wish, row, own)}
        return S.CONFLICT if any(_member(name) in meant for wrote in unseen for name in wrote) else S.APPLIED

    def _meant(self, wish: Mutation, row: Row, own: Mapping[int, Any]) -> dict[str, Any]:
        wanted, stands = _values(wish.kind, wish.data), row.stands()
        seen = row.stands(own, wish.base_version or 0) if wish.op is Op.PUT else {}
        return {name: value for name, value in wanted.items() if value != stands[name] and value != seen.get(name)}

    def _book(self, wish: Mutation, outcome: Outcome, own: Mapping[int, Any]) -> int | None:
        """The number of the write, where something was written that a later wish may be based on."""
        assert outcome.change is not None
        row = self.rows.get(wish.row_id)
        if wish.op is Op.DELETE:
            ending = [] if row is None or row.deleted else list(self._with_beneath(wish.row_id))
            self.counter += len(ending)
            for each in ending:
                each.deleted = True
            return None
        if row is None:
            row = self.rows[wish.row_id] = Row(wish.kind, UUID(wish.data[PARENT[wish.kind]]))
            wrote = _values(wish.kind, wish.data)
        else:
            wrote = self._meant(wish, row, own)
        if wrote:
            self.counter += 1
            row.writes[self.counter] = wrote
        assert outcome.change.version == max(row.writes), "a version rises with every write, and with nothing else"
        return self.counter if wrote else None

    def _with_beneath(self, id: UUID) -> Iterator[Row]:
        yield self.rows[id]
        for child, row in self.rows.items():
            if row.parent == id and not row.deleted:
                yield from self._with_beneath(child)


def _values(kind: K, data: Mapping[str, Any]) -> dict[str, Any]:
    return {name: data[name] for name in FIELDS[kind] if name in data}


def _member(name: str) -> str:
    return name if name == "name" else "geometry"
