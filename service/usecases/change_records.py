"""What the use cases of offline devices take and answer; plain values, no database in them."""

from dataclasses import dataclass
from uuid import UUID

from service.usecases.records import Record
from service.vocabulary import ResourceKind


@dataclass(frozen=True, slots=True)
class Change:
    """One row of a project as it stands. `record` is None where it was deleted and nothing is to be told but that."""

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
