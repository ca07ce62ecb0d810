"""Lining specifications."""

from typing import Any

from sqlalchemy import JSON, Index
from sqlalchemy.orm import Mapped, mapped_column

from service.store.columns import number, structure, text
from service.store.models.base import Root
from service.vocabulary import ResourceKind


class Specification(Root):
    """`parameters` and `components` hold what was set; what was left out follows the defaults as they are when it is read."""

    __tablename__ = "specifications"
    __table_args__ = (Index(None, "account_id", "created_at", "id"),)
    resource_kind = ResourceKind.SPECIFICATION

    name: Mapped[str | None] = text(200, None)
    parameters: Mapped[dict[str, float]] = mapped_column(JSON)
    components: Mapped[dict[str, str]] = mapped_column(JSON)
    build_up: Mapped[list[dict[str, Any]] | None] = structure(list)
    target_u_value_w_m2k: Mapped[float | None] = number(0.01, 10, None)
    critical_temperature_factor: Mapped[float | None] = number(0, 1, None)
