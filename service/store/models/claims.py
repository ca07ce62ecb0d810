"""Requests that may be sent again: who is at work on one, and what it was answered."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, LargeBinary, String, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import UtcDateTime
from service.store.models.base import Base


class Claim(Base):
    """One request with an Idempotency-Key. Until it has a `status` it is somebody's work, for as long as the lease runs.

    `lease` is the fence: whoever finishes the request must still hold the lease that it took. `body` is compressed.
    """

    __tablename__ = "claims"
    __table_args__ = (Index(None, "kept_until"),)

    account_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("accounts.id"), primary_key=True)
    method: Mapped[str] = mapped_column(String(8), primary_key=True)
    path: Mapped[str] = mapped_column(String(400), primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    lease: Mapped[UUID] = mapped_column(Uuid)
    lease_until: Mapped[datetime] = mapped_column(UtcDateTime)
    kept_until: Mapped[datetime] = mapped_column(UtcDateTime)
    status: Mapped[int | None]
    headers: Mapped[list[Any] | None] = mapped_column(JSON(none_as_null=True))
    body: Mapped[bytes | None] = mapped_column(LargeBinary)
