"""What offline devices need of the past: values that were written over, results of mutations, ids of what is gone for good."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, Integer, LargeBinary, String, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import UtcDateTime
from service.store.models.base import Base


class Overwritten(Base):
    """What one write in a project wrote over: `fields` has, for each, the value before and the number that had written that one.

    With the row as it stands they tell what it held at any number: from each field's last writer back to the one before it.
    """

    __tablename__ = "overwritten"
    __table_args__ = (Index(None, "written_at"),)

    project_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("projects.id"), primary_key=True)
    row_id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    number: Mapped[int] = mapped_column(Integer, primary_key=True)
    fields: Mapped[dict[str, list[Any]]] = mapped_column(JSON)
    written_at: Mapped[datetime] = mapped_column(UtcDateTime)


class MutationResult(Base):
    """The first result of a mutation, for whoever sends it again. `fingerprint` is of what it asked for.

    `number` is the version that it gave its row, and `number_before` the one that the row had; both null where it wrote nothing.
    """

    __tablename__ = "mutation_results"
    __table_args__ = (Index(None, "made_at"),)

    project_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("projects.id"), primary_key=True)
    mutation_id: Mapped[str] = mapped_column(String(200), primary_key=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    number: Mapped[int | None]
    number_before: Mapped[int | None]
    result: Mapped[bytes] = mapped_column(LargeBinary)
    made_at: Mapped[datetime] = mapped_column(UtcDateTime)


class SweptId(Base):
    """The id of a row whose tombstone, with this version, was swept away: nothing else may ever have it."""

    __tablename__ = "swept_ids"
    __table_args__ = (Index(None, "project_id"),)

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    project_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("projects.id"))
    account_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("accounts.id"))
    kind: Mapped[str] = mapped_column(String(32), primary_key=True)
    version: Mapped[int] = mapped_column(Integer)
