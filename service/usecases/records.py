"""What the use cases of stored resources take and answer; plain values, no database in them."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from service.errors import PreconditionFailed, PreconditionRequired
from service.vocabulary import KeyScope, ResourceKind

Place = tuple[float | str, str]
"""Where a list goes on: sort key (a position, or a time as RFC 3339 text) and id of the last thing given out, as JSON values."""


@dataclass(frozen=True, slots=True)
class Record:
    """One stored resource as it stands. `data` has the members of its JSON form, the parent's id and both times among them."""

    kind: ResourceKind
    id: UUID
    version: int
    data: dict[str, Any]

    def document(self) -> dict[str, Any]:
        """The JSON form: id, version, members. Ids are UUIDs and times are text in UTC with `Z`; orjson dumps it as it is."""
        return {"id": self.id, "version": self.version, **self.data}


@dataclass(frozen=True, slots=True)
class Page:
    """A stretch of a list. `next_after` is given back as `after` to get the next one; None at the end."""

    items: tuple[Record, ...]
    next_after: Place | None


@dataclass(frozen=True, slots=True)
class SurveyDocument:
    """A project's whole tree of rooms. `version` is the project's change counter, `document` is `{"rooms": [...]}`."""

    version: int
    document: dict[str, Any]


@dataclass(frozen=True, slots=True)
class KeyHolder:
    """Who is calling."""

    account_id: UUID
    key_id: UUID
    scopes: frozenset[KeyScope]


@dataclass(frozen=True, slots=True)
class Asked:
    """A request that may be sent again. `key` names it within account, method and path; `fingerprint` is of what it says."""

    account_id: UUID
    method: str
    path: str
    key: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Lease:
    """The right to do what was asked, until it runs out and somebody else takes it; `token` proves it."""

    asked: Asked
    token: UUID


@dataclass(frozen=True, slots=True)
class Answered:
    """What a request was answered, to be answered again. `headers`: those of the answer itself, its media type among them."""

    status: int
    headers: tuple[tuple[str, str], ...]
    body: bytes


@dataclass(frozen=True, slots=True)
class Precondition:
    """What a caller says about the version that it changes.

    `versions`: If-Match with these; `any_version`: If-Match `*`; `absent`: If-None-Match `*`, the thing must not exist yet.
    """

    versions: frozenset[int] = field(default_factory=frozenset)
    any_version: bool = False
    absent: bool = False

    @classmethod
    def none(cls) -> "Precondition":
        return cls()

    @classmethod
    def any(cls) -> "Precondition":
        return cls(any_version=True)

    @classmethod
    def match(cls, versions: Iterable[int]) -> "Precondition":
        return cls(versions=frozenset(versions), any_version=False)

    @property
    def given(self) -> bool:
        return self.any_version or self.absent or bool(self.versions)

    def allow_creation(self) -> None:
        """Raises PreconditionFailed where the caller believes that the thing exists."""
        if self.versions or self.any_version:
            raise PreconditionFailed("There is nothing under this id yet, so no version of it can match.")

    def allow_change(self, *versions: int) -> None:
        """Checks a change of something that stands at `versions`; one of them must match.

        Raises:
            PreconditionRequired: nothing was said about the version.
            PreconditionFailed: it has moved on, or it should not have existed.
        """
        if not self.given:
            raise PreconditionRequired("Say which version you are changing: send If-Match with its ETag, or with *.")
        if self.any_version or self.versions.intersection(versions):
            return
        if self.absent:
            raise PreconditionFailed("This id is taken.", version=versions[0])
        raise PreconditionFailed(f"This has moved on: it is at version {versions[0]} now.", version=versions[0])


def rfc3339(moment: datetime | None) -> str | None:
    """UTC with microseconds and `Z`."""
    return None if moment is None else moment.isoformat(timespec="microseconds").replace("+00:00", "Z")
