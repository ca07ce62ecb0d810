"""What the use cases of offline devices take and answer; plain values, no database in them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from service.errors import Fault
from service.usecases.records import Record
from service.vocabulary import MutationOp, MutationStatus, ResourceKind


@dataclass(frozen=True, slots=True)
class Change:
    """One row of a project as it stands. `record` is None where it was deleted and its last copy is not told, or not kept."""

    kind: ResourceKind
    id: UUID
    version: int
    deleted: bool
    record: Record | None


@dataclass(frozen=True, slots=True)
class FeedPlace:
    """How far a reader has come: every row whose version is at most `seen` has been given to it.

    `started`: the project's counter when the reader had nothing yet; what was deleted up to then it need not be told.
    """

    seen: int
    started: int


@dataclass(frozen=True, slots=True)
class ChangesPage:
    """A stretch of the feed, in the order of versions, and where it goes on."""

    changes: tuple[Change, ...]
    place: FeedPlace
    has_more: bool


@dataclass(frozen=True, slots=True)
class Mutation:
    """What a device wants changed. `id` is the caller's name for this wish and stays the same when it is sent again.

    `base_version`: of a put or patch the version of the row that the device last saw (None: none), of a delete the latest
    version of the project that it has seen. `faults`: what is known to be wrong, pointers from the mutation on (`#/data/…`).
    """

    id: str
    kind: ResourceKind
    row_id: UUID
    op: MutationOp
    base_version: int | None
    data: Mapping[str, Any]
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a mutation.

    `change`: applied: its row as it stands now; conflict: what stands in its way, a deleted one with its last copy. `members`: in
    which the row differs from what the device saw. `newer`: beneath what was to be deleted. `faults`: why it was refused.
    `first`: of a duplicate, what the mutation was answered first; all else is as it was then.
    """

    status: MutationStatus
    change: Change | None = None
    members: tuple[str, ...] = ()
    newer: tuple[Change, ...] = ()
    faults: tuple[Fault, ...] = ()
    first: MutationStatus | None = None
