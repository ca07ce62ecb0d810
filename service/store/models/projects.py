"""Projects: one dwelling's survey and what it is to be lined with."""

from typing import Any
from uuid import UUID

from sqlalchemy import Index, Integer
from sqlalchemy import text as sql
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import refers_to, structure, text, whole
from service.store.models.base import Root
from service.vocabulary import ResourceKind

LIVE = sql("deleted_at IS NULL")


class Project(Root):
    """`swept_version`: the greatest version of any tombstone beneath it that was swept away."""

    __tablename__ = "projects"
    __table_args__ = (
        Index("uq_projects_reference", "account_id", "reference", unique=True, sqlite_where=LIVE, postgresql_where=LIVE),
        Index(None, "account_id", "created_at", "id"),
        Index(None, "specification_id"),
        Index(None, "catalogue_id"),
    )
    resource_kind = ResourceKind.PROJECT

    reference: Mapped[str | None] = text(200, None)
    name: Mapped[str | None] = text(200, None)
    specification_id: Mapped[UUID | None] = refers_to(ResourceKind.SPECIFICATION, "specifications.id", optional=True)
    catalogue_id: Mapped[UUID | None] = refers_to(ResourceKind.CATALOGUE, "catalogues.id", optional=True)
    repeat: Mapped[int] = whole(1, 100_000, 1)
    notes: Mapped[str | None] = text(10_000, None, least=0)
    climate: Mapped[dict[str, Any] | None] = structure(dict)
    year_built: Mapped[int | None] = whole(1000, 3000, None)
    swept_version: Mapped[int] = mapped_column(Integer, default=0, sort_order=50)
