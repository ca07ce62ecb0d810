"""Deletes a resource; its id stays deleted."""

from uuid import UUID

from sqlalchemy.orm import Session

from service.errors import Conflict, Gone
from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.usecases.material_members import refuse_standard
from service.usecases.offcut_members import refuse_reserved
from service.usecases.records import Precondition
from service.usecases.storing import remove
from service.vocabulary import ResourceKind


def delete_resource(
    database: Database,
    account_id: UUID,
    kind: ResourceKind,
    id: UUID,
    precondition: Precondition,
    *,
    with_children: bool = False,
) -> None:
    """Deletes it and, of a project or catalogue always and of a room or wall on request, all beneath it. Deleting what is deleted
    succeeds whatever the precondition.

    Raises:
        Missing: no such id in this account.
        Conflict: a room or wall that has children, a specification or catalogue that a project uses, a material that a
            specification's build-up names; `extra["children"]` or
            `extra["used_by"]` lists them, each with `type` and `id`. An offcut that a takeoff holds; `extra["takeoff_id"]`.
        PreconditionRequired, PreconditionFailed: see `Precondition`.
    """
    refuse_standard(kind, id)
    database.transact(_delete, account_id, kind, id, precondition, with_children)


def _delete(
    session: Session, account_id: UUID, kind: ResourceKind, id: UUID, precondition: Precondition, with_children: bool
) -> None:
    try:
        row = rows.kept(session, account_id, kind, id)
    except Gone:
        return
    if row.deleted_at is not None:
        return
    ledger = rows.ledger_of(session, kind, row)
    row = rows.kept(session, account_id, kind, id)
    if row.deleted_at is not None:
        return
    precondition.allow_change(row.version)
    refuse_reserved(row)
    shape = KINDS[kind]
    if not shape.deletes_children and not with_children:
        children = [{"type": str(child.resource_kind), "id": str(child.id)} for child in rows.children(session, kind, [id])]
        if children:
            raise Conflict(f"This {shape.name} has children; with_children=true deletes them too.", children=children)
    users = [{"type": str(user_kind), "id": str(user)} for user_kind, user in rows.users_of(session, kind, row)]
    if users:
        raise Conflict(f"This {shape.name} is used by {len(users)} {users[0]['type']}(s).", used_by=users)
    remove(session, ledger, row)
