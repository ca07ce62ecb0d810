"""What every table has in common: names of constraints, checks made from rules, versions and tombstones."""

from datetime import datetime
from typing import Any, ClassVar, cast
from uuid import UUID

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Integer, MetaData, Table, Uuid
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

from service.store.columns import UtcDateTime
from service.vocabulary import ResourceKind

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    metadata = MetaData(naming_convention=NAMING)

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        if "__table__" not in cls.__dict__:
            return
        table = cast(Table, cls.__table__)
        for column in table.columns:
            rule = column.info.get("rule") or column.info.get("check")
            check = rule.check(column) if rule else None
            if check is not None:
                table.append_constraint(CheckConstraint(check, name=f"{column.name}_allowed"))


class Versioned(Base):
    """A row with a version: written only through `service.store.ledger`, never removed, only marked as deleted.

    `version` is the number that its last write took from its root's change counter; `field_versions` says for each field which
    number last wrote it.
    """

    __abstract__ = True
    resource_kind: ClassVar[ResourceKind]

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True, sort_order=-50)
    version: Mapped[int] = mapped_column(Integer, sort_order=50)
    field_versions: Mapped[dict[str, int]] = mapped_column(JSON, sort_order=50)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime, sort_order=50)
    updated_at: Mapped[datetime] = mapped_column(UtcDateTime, sort_order=50)
    deleted_at: Mapped[datetime | None] = mapped_column(UtcDateTime, sort_order=50)

    @declared_attr
    def account_id(cls) -> Mapped[UUID]:
        return mapped_column(Uuid, ForeignKey("accounts.id"), sort_order=-40)

    @declared_attr.directive
    def __mapper_args__(cls) -> dict[str, Any]:
        """Every UPDATE says `WHERE version =` the one that was read."""
        return {} if cls.__dict__.get("__abstract__") else {"version_id_col": cls.version, "version_id_generator": False}

    @classmethod
    def fields(cls) -> dict[str, Any]:
        """The columns that hold members of the resource's JSON form, by name, in the order of the table."""
        return {column.name: column for column in cls.__table__.columns if "rule" in column.info}


class Root(Versioned):
    """A row whose change counter numbers the writes of itself and of all beneath it."""

    __abstract__ = True

    change_counter: Mapped[int] = mapped_column(Integer, sort_order=50)
