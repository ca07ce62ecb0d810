"""A device that does nothing but follow the list of changes, and puts the survey together from it by itself."""

from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.change_records import Change, FeedPlace
from service.usecases.read_changes import read_changes
from service.vocabulary import ResourceKind as K

CHILDREN = {K.PROJECT: (K.ROOM,), K.ROOM: (K.WALL,), K.WALL: (K.OPENING, K.FEATURE), K.OPENING: (), K.FEATURE: ()}
PARENT = {K.ROOM: "project_id", K.WALL: "room_id", K.OPENING: "wall_id", K.FEATURE: "wall_id"}
TOLD = ("version", "created_at", "updated_at", *PARENT.values())


class Follower:
    """`rows`: the last change of each id. Complains of a version that is given twice or goes backwards."""

    def __init__(self, database: Database, account: UUID, project: UUID, limit: int = 100) -> None:
        self._database, self._account, self.project, self._limit = database, account, project, limit
        self.rows: dict[UUID, Change] = {}
        self.place: FeedPlace | None = None

    def read_page(self) -> bool:
        """Whether there is more."""
        page = read_changes(self._database, self._account, self.project, self.place, self._limit)
        last = -1 if self.place is None else self.place.seen
        for change in page.changes:
            assert change.version > last, "in the order of versions, and nothing of what was read before"
            last = change.version
            self.rows[change.id] = change
        assert page.place.seen >= last
        self.place = page.place
        return page.has_more

    def read_on(self) -> int:
        """To the end; how many pages that took."""
        pages = 1
        while self.read_page():
            pages += 1
        return pages

    def survey(self) -> dict[str, Any]:
        """In the form of the survey's document."""
        live = [change for change in self.rows.values() if not change.deleted and change.kind is not K.PROJECT]
        assert all(change.record is not None for change in live)
        parents = {change.id for change in live} | {self.project}
        orphans = [change for change in live if change.record and change.record.data[PARENT[change.kind]] not in parents]
        assert not orphans, "nothing stands beneath what is not there"
        return {"rooms": self._beneath(self.project, K.ROOM, live)}

    def _beneath(self, parent: UUID, kind: K, live: list[Change]) -> list[dict[str, Any]]:
        own = [change.record for change in live if change.record and change.kind is kind]
        children = [record for record in own if record.data[PARENT[kind]] == parent]
        return [
            {
                **{name: value for name, value in record.document().items() if name not in TOLD},
                **{f"{child}s": self._beneath(record.id, child, live) for child in CHILDREN[kind]},
            }
            for record in sorted(children, key=lambda record: (record.data["position"], record.id))
        ]
