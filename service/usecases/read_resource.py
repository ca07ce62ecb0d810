"""Reads one stored resource."""

from uuid import UUID

from sqlalchemy import bindparam, select

from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.material_members import STANDARD_RECORDS
from service.usecases.members import record_from, record_of, shown_columns
from service.usecases.plain_records import read_plain
from service.usecases.records import Record
from service.vocabulary import ResourceKind

_LIVE = {
    kind: select(*shown_columns(kind)).where(
        shape.model.id == bindparam("sought"), shape.model.account_id == bindparam("account"), shape.model.deleted_at.is_(None)
    )
    for kind, shape in KINDS.items()
}
"""Of each kind the question for one live row: a record is made from it without a mapped object between."""


def read_resource(database: Database, account_id: UUID, kind: ResourceKind, id: UUID) -> Record:
    """The resource as it stands.

    Raises:
        Missing: no such id in this account.
        Gone: it was deleted.
    """
    if kind is ResourceKind.MATERIAL and id in STANDARD_RECORDS:
        return STANDARD_RECORDS[id]
    if kind in KINDS and (found := database.ask(_LIVE[kind], {"sought": id, "account": account_id})):
        return record_from(kind, found[0]._mapping)
    with database.read() as session:
        if kind in KINDS:
            return record_of(rows.live(session, account_id, kind, id))  # which says why it was not found
        return read_plain(session, account_id, kind, id)
