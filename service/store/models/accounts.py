"""Accounts and their API keys."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, String, UniqueConstraint, Uuid
from sqlalchemy.orm import Mapped, mapped_column, relationship

from service.store.columns import UtcDateTime, text
from service.store.models.base import Base


class Account(Base):
    __tablename__ = "accounts"
    __table_args__ = (UniqueConstraint("name"),)

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    name: Mapped[str] = text(200)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)


class ApiKey(Base):
    """A key is found by its prefix, which is no secret, and proved by the SHA-256 of the whole. Rotating it gives it new ones;
    those before are good for a while longer."""

    __tablename__ = "api_keys"
    __table_args__ = (UniqueConstraint("prefix"), Index(None, "account_id", "created_at", "id"))

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True)
    account_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("accounts.id"))
    name: Mapped[str] = text(200)
    prefix: Mapped[str] = mapped_column(String(32))
    secret_sha256: Mapped[str] = mapped_column(String(64))
    scopes: Mapped[list[str]] = mapped_column(JSON)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    expires_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    revoked_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    last_used_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    former_secrets: Mapped[list["FormerSecret"]] = relationship(order_by="FormerSecret.expires_at")


class FormerSecret(Base):
    """What a key was before it was rotated: opens the same door until it expires."""

    __tablename__ = "former_secrets"
    __table_args__ = (Index(None, "key_id"),)

    prefix: Mapped[str] = mapped_column(String(32), primary_key=True)
    key_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("api_keys.id"))
    secret_sha256: Mapped[str] = mapped_column(String(64))
    expires_at: Mapped[datetime] = mapped_column(UtcDateTime)
