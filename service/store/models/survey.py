"""The rows of a survey. Each knows its project, so that one query finds all that changed in it."""

from uuid import UUID

from sqlalchemy import ForeignKey, Index, Uuid
from sqlalchemy import text as sql
from sqlalchemy.orm import Mapped, declared_attr, mapped_column

from service.store.columns import GREATEST_LENGTH_MM, flag, millimetres, number, refers_to, text, whole, word
from service.store.models.base import Versioned
from service.vocabulary import Construction, FeatureKind, OpeningKind, ResourceKind, Substrate

DELETED = sql("deleted_at IS NOT NULL")


class SurveyRow(Versioned):
    """`position` sorts a row among its siblings, ties by id; the server never changes it by itself."""

    __abstract__ = True

    position: Mapped[float] = number(-1e12, 1e12)

    @declared_attr
    def project_id(cls) -> Mapped[UUID]:
        return mapped_column(Uuid, ForeignKey("projects.id"), sort_order=-30)


class Room(SurveyRow):
    __tablename__ = "rooms"
    __table_args__ = (
        Index(None, "project_id", "version", unique=True),
        Index(None, "project_id", "position", "id"),
        Index(None, "deleted_at", sqlite_where=DELETED, postgresql_where=DELETED),
    )
    resource_kind = ResourceKind.ROOM

    project_id: Mapped[UUID] = refers_to(ResourceKind.PROJECT, "projects.id")
    name: Mapped[str | None] = text(200, None)
    storey: Mapped[str | None] = text(100, None)
    ceiling_height_mm: Mapped[int] = millimetres()
    closed: Mapped[bool] = flag(False)
    floor: Mapped[str] = word(Construction, Construction.TIMBER)
    ceiling: Mapped[str] = word(Construction, Construction.TIMBER)


class Wall(SurveyRow):
    """Heights left out are the room's. `service.engine.inputs` says what the members mean."""

    __tablename__ = "walls"
    __table_args__ = (
        Index(None, "project_id", "version", unique=True),
        Index(None, "room_id", "position", "id"),
        Index(None, "deleted_at", sqlite_where=DELETED, postgresql_where=DELETED),
    )
    resource_kind = ResourceKind.WALL

    room_id: Mapped[UUID] = refers_to(ResourceKind.ROOM, "rooms.id")
    name: Mapped[str | None] = text(200, None)
    length_mm: Mapped[int] = millimetres()
    height_left_mm: Mapped[int | None] = millimetres(None, least=0)
    height_right_mm: Mapped[int | None] = millimetres(None, least=0)
    floor_left_mm: Mapped[int] = millimetres(0, least=-GREATEST_LENGTH_MM)
    floor_right_mm: Mapped[int] = millimetres(0, least=-GREATEST_LENGTH_MM)
    lined: Mapped[bool] = flag(True)
    corner_deg: Mapped[float] = number(30, 330, 90)
    substrate: Mapped[str] = word(Substrate, Substrate.SOLID_BRICK)
    thickness_mm: Mapped[float] = number(1, 10_000, 225)
    proud_mm: Mapped[int] = whole(0, 1000, 0)
    frame_offset_mm: Mapped[int | None] = whole(20, 1000, None)


class Opening(SurveyRow):
    """A sill may lie below the level line, where the floor does."""

    __tablename__ = "openings"
    __table_args__ = (
        Index(None, "project_id", "version", unique=True),
        Index(None, "wall_id", "position", "id"),
        Index(None, "deleted_at", sqlite_where=DELETED, postgresql_where=DELETED),
    )
    resource_kind = ResourceKind.OPENING

    wall_id: Mapped[UUID] = refers_to(ResourceKind.WALL, "walls.id")
    kind: Mapped[str] = word(OpeningKind)
    name: Mapped[str | None] = text(200, None)
    offset_mm: Mapped[int] = millimetres(least=0)
    width_mm: Mapped[int] = millimetres()
    sill_mm: Mapped[int] = millimetres(least=-GREATEST_LENGTH_MM)
    height_mm: Mapped[int] = millimetres()
    reveal_depth_mm: Mapped[int] = millimetres(0, least=0)
    board_sill: Mapped[bool] = flag(False)
    frame_margin_mm: Mapped[int | None] = whole(0, 1000, None)


class Feature(SurveyRow):
    """Something on a wall that the lining has to mind; width, height and mass where they are known."""

    __tablename__ = "features"
    __table_args__ = (
        Index(None, "project_id", "version", unique=True),
        Index(None, "wall_id", "position", "id"),
        Index(None, "deleted_at", sqlite_where=DELETED, postgresql_where=DELETED),
    )
    resource_kind = ResourceKind.FEATURE

    wall_id: Mapped[UUID] = refers_to(ResourceKind.WALL, "walls.id")
    kind: Mapped[str] = word(FeatureKind)
    name: Mapped[str | None] = text(200, None)
    x_mm: Mapped[int] = millimetres(least=0)
    y_mm: Mapped[int] = millimetres(least=-GREATEST_LENGTH_MM)
    width_mm: Mapped[int | None] = millimetres(None)
    height_mm: Mapped[int | None] = millimetres(None)
    mass_kg: Mapped[float | None] = number(0, 10_000, None)
