"""Takeoffs, and the results that equal ones share."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, LargeBinary, String, UniqueConstraint, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import UtcDateTime
from service.store.models.base import Base


class Result(Base):
    """What the engine answered to one canonical input, once in an account; it has places instead of ids, so it can be shared."""

    __tablename__ = "results"
    __table_args__ = (UniqueConstraint("account_id", "digest"),)

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    account_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("accounts.id"))
    digest: Mapped[str] = mapped_column(String(80))
    engine_version: Mapped[str] = mapped_column(String(40))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    summary: Mapped[dict[str, Any]] = mapped_column(JSON)


class ResultPart(Base):
    """One part of a result, encoded: `key` is a wall's place, a component or empty, as the part has it."""

    __tablename__ = "result_parts"

    result_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("results.id", ondelete="CASCADE"), primary_key=True)
    part: Mapped[str] = mapped_column(String(40), primary_key=True)
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    body: Mapped[bytes] = mapped_column(LargeBinary)


class Takeoff(Base):
    """One request for a takeoff and what it was answered with. Never changed; `id_map` puts the caller's ids back in place."""

    __tablename__ = "takeoffs"
    __table_args__ = (
        Index(None, "account_id", "created_at", "id"),
        Index(None, "project_id", "created_at", "id"),
        Index(None, "result_id"),
    )

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    account_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("accounts.id"))
    project_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("projects.id"))
    result_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("results.id"))
    digest: Mapped[str] = mapped_column(String(80))
    inputs: Mapped[dict[str, Any]] = mapped_column(JSON)
    options: Mapped[dict[str, Any]] = mapped_column(JSON)
    id_map: Mapped[dict[str, Any]] = mapped_column(JSON)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
