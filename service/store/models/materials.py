"""Materials of an account: design values of its own, for the layers of its build-ups."""

from sqlalchemy import Index
from sqlalchemy.orm import Mapped

from service.store.columns import number, text, word
from service.store.models.base import Root
from service.vocabulary import Certainty, ResourceKind

LEAST = 0.000_001
"""Numbers that divide something are at least this."""


class Material(Root):
    """`service.engine.physics.materials` says what the members mean and has the values that every account can use."""

    __tablename__ = "materials"
    __table_args__ = (Index(None, "account_id", "created_at", "id"),)
    resource_kind = ResourceKind.MATERIAL

    name: Mapped[str] = text(200)
    conductivity_w_mk: Mapped[float | None] = number(LEAST, 1000, None)
    density_kg_m3: Mapped[float | None] = number(LEAST, 100_000, None)
    specific_heat_j_kgk: Mapped[float | None] = number(LEAST, 100_000, None)
    mu_dry: Mapped[float | None] = number(LEAST, 1e9, None)
    mu_wet: Mapped[float | None] = number(LEAST, 1e9, None)
    sd_m: Mapped[float | None] = number(LEAST, 1e6, None)
    thickness_mm: Mapped[float | None] = number(LEAST, 5000, None)
    source: Mapped[str | None] = text(500, None)
    certainty: Mapped[str | None] = word(Certainty, None)
    note: Mapped[str | None] = text(1000, None)
