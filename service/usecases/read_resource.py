"""Reads one stored resource."""

from uuid import UUID

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.material_members import STANDARD_RECORDS
from service.usecases.members import record_of
from service.usecases.plain_records import read_plain
from service.usecases.records import Record
from service.vocabulary import ResourceKind


def read_resource(database: Database, account_id: UUID, kind: ResourceKind, id: UUID) -> Record:
    """The resource as it stands.

    Raises:
        Missing: no such id in this account.
        Gone: it was deleted.
    """
    if kind is ResourceKind.MATERIAL and id in STANDARD_RECORDS:
        return STANDARD_RECORDS[id]
    with database.read() as session:
        if kind in KINDS:
            return record_of(rows.live(session, account_id, kind, id))
        return read_plain(session, account_id, kind, id)
