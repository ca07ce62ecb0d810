"""Which of the account's offcuts a takeoff may be cut from."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.engine.inputs import Item
from service.engine.recipe import item_order
from service.errors import Conflict, Fault
from service.snapshots.places import offcut_place
from service.store.models import Offcut
from service.usecases.confirmations import promise
from service.usecases.item_members import SIZES_NEEDED
from service.vocabulary import Component

MOST_OF_A_COMPONENT = 200
"""Of more than these the oldest are offered: planning takes longer with each size that there is only one of."""


@dataclass(frozen=True, slots=True)
class Offered:
    """`items` in the engine's order; `ids`: place → id; `asked`: true, false or the ids, as the takeoff tells it."""

    items: tuple[Item, ...]
    ids: dict[str, str]
    asked: bool | list[str]


def offered(session: Session, account_id: UUID, asked: bool | Sequence[UUID], faults: list[Fault]) -> Offered:
    """True: all that are available, of each component the oldest. A list: these. An id that stands for no offcut is a fault.

    Raises:
        Conflict: some of those asked for are held by other takeoffs; `extra["promised"]` says which and by whom.
    """
    if isinstance(asked, bool):
        found = _available(session, account_id) if asked else []
        told: bool | list[str] = asked
    else:
        found = _named(session, account_id, asked, faults)
        told = [str(id) for id in asked]
    pieces = sorted(((_item(row), row.id) for row in found), key=lambda piece: item_order(piece[0]))
    ids = {offcut_place(number): str(id) for number, (_, id) in enumerate(pieces, 1)}
    return Offered(tuple(item for item, _ in pieces), ids, told)


def _available(session: Session, account_id: UUID) -> list[Offcut]:
    free = (Offcut.account_id == account_id, Offcut.deleted_at.is_(None), Offcut.takeoff_id.is_(None))
    oldest_first = select(Offcut).where(*free).order_by(Offcut.created_at, Offcut.id).limit(MOST_OF_A_COMPONENT)
    return [row for component in SIZES_NEEDED for row in session.scalars(oldest_first.where(Offcut.component == component))]


def _named(session: Session, account_id: UUID, asked: Sequence[UUID], faults: list[Fault]) -> list[Offcut]:
    query = select(Offcut).where(Offcut.id.in_(asked), Offcut.account_id == account_id, Offcut.deleted_at.is_(None))
    there = {row.id: row for row in session.scalars(query)}
    unknown = [n for n, id in enumerate(asked) if id not in there]
    faults += [Fault(f"#/options/offcuts/{n}", "There is no offcut with this id.", "unknown_id") for n in unknown]
    found = [there[id] for id in asked if id in there]
    promised = [promise(row) for row in found if row.takeoff_id is not None]
    if promised and not unknown:
        raise Conflict(f"{len(promised)} of these offcuts are held by other takeoffs.", promised=promised)
    return found


def _item(row: Offcut) -> Item:
    return Item(
        component=Component(row.component),
        sku=row.sku,
        length_mm=row.length_mm,
        width_mm=row.width_mm,
        thickness_mm=row.thickness_mm,
    )
