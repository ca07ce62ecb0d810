"""Catalogues: the ranges of things that can be bought."""

from uuid import UUID

from sqlalchemy import BigInteger, CheckConstraint, Index, String
from sqlalchemy import text as sql
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import GREATEST_LENGTH_MM, number, refers_to, text, whole, word
from service.store.models.base import Root, Versioned
from service.store.rules import Number, Word
from service.vocabulary import Component, Currency, ResourceKind

LIVE = sql("deleted_at IS NULL")


class Catalogue(Root):
    """Its change counter numbers the writes of its items too: one number says which range a takeoff used."""

    __tablename__ = "catalogues"
    __table_args__ = (Index(None, "account_id", "created_at", "id"),)
    resource_kind = ResourceKind.CATALOGUE

    name: Mapped[str | None] = text(200, None)
    currency: Mapped[str] = word(Currency, Currency.GBP)


class CatalogueItem(Versioned):
    """`service.engine.inputs.Item` says what the members mean. The price is of one piece, in minor units of its currency."""

    __tablename__ = "catalogue_items"
    __table_args__ = (
        Index("uq_catalogue_items_sku", "catalogue_id", "sku", unique=True, sqlite_where=LIVE, postgresql_where=LIVE),
        Index(None, "catalogue_id", "version", unique=True),
        Index(None, "catalogue_id", "created_at", "id"),
        CheckConstraint("(price_minor IS NULL) = (price_currency IS NULL)", name="price_whole"),
    )
    resource_kind = ResourceKind.CATALOGUE_ITEM

    catalogue_id: Mapped[UUID] = refers_to(ResourceKind.CATALOGUE, "catalogues.id")
    sku: Mapped[str] = text(100)
    component: Mapped[str] = word(Component)
    description: Mapped[str | None] = text(500, None)
    length_mm: Mapped[int | None] = whole(1, 1_000_000, None)
    width_mm: Mapped[int | None] = whole(1, GREATEST_LENGTH_MM, None)
    thickness_mm: Mapped[float | None] = number(0.01, 1000, None)
    pack_size: Mapped[int] = whole(1, 1_000_000, 1)
    price_minor: Mapped[int | None] = mapped_column(BigInteger, info={"check": Number(0, 10**14)})
    price_currency: Mapped[str | None] = mapped_column(String(32), info={"check": Word(Currency)})
    mass_kg: Mapped[float | None] = number(0, 100_000, None)
    on_hand: Mapped[int | None] = whole(0, 100_000_000, None)
    yield_per_piece: Mapped[float | None] = number(0.000_001, 1_000_000, None)
