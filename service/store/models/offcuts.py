"""Offcuts: what is left of earlier work and kept; and the takeoffs that were confirmed, which reserve and make them."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import ColumnElement, ForeignKey, Index, Uuid, case
from sqlalchemy.ext.hybrid import hybrid_property
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import GREATEST_LENGTH_MM, UtcDateTime, number, text, whole, word
from service.store.models.base import Base, Root
from service.vocabulary import Component, OffcutState, ResourceKind


class Offcut(Root):
    """One piece. `takeoff_id`: the confirmed takeoff that holds it, of which there is at most one; `from_takeoff_id`: the one
    whose cutting leaves it. Neither is the caller's to set.
    """

    __tablename__ = "offcuts"
    __table_args__ = (
        Index(None, "account_id", "created_at", "id"),
        Index(None, "takeoff_id"),
        Index(None, "from_takeoff_id"),
    )
    resource_kind = ResourceKind.OFFCUT

    component: Mapped[str] = word(Component)
    sku: Mapped[str | None] = text(100, None)
    length_mm: Mapped[int] = whole(1, 1_000_000)
    width_mm: Mapped[int | None] = whole(1, GREATEST_LENGTH_MM, None)
    thickness_mm: Mapped[float | None] = number(0.01, 1000, None)
    note: Mapped[str | None] = text(1000, None)
    takeoff_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("takeoffs.id"))
    from_takeoff_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("takeoffs.id"))

    @hybrid_property
    def state(self) -> str:
        return OffcutState.AVAILABLE if self.takeoff_id is None else OffcutState.RESERVED

    @state.inplace.expression
    @classmethod
    def _state_in_sql(cls) -> ColumnElement[str]:
        return case((cls.takeoff_id.is_(None), OffcutState.AVAILABLE.value), else_=OffcutState.RESERVED.value)


class Confirmation(Base):
    """That a takeoff was confirmed. What it holds and what it made is said by the offcuts themselves."""

    __tablename__ = "confirmations"

    takeoff_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("takeoffs.id"), primary_key=True)
    confirmed_at: Mapped[datetime] = mapped_column(UtcDateTime)
