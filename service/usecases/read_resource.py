"""Reads one stored resource."""

from uuid import UUID

from service.store.database import Database
from service.usecases.records import Record
from service.vocabulary import ResourceKind


def read_resource(database: Database, account_id: UUID, kind: ResourceKind, id: UUID) -> Record:
    """The resource as it stands.

    Raises:
        Missing: no such id in this account.
        Gone: it was deleted.
    """
    raise NotImplementedError
