"""Opens the database that the settings name."""

from service.config import Settings
from service.store.database import Database
from service.vocabulary import ResourceKind


def open_database(settings: Settings) -> Database:
    """Connects nothing yet; the first session does."""
    return Database(
        settings.database_url,
        sqlite_synchronous=settings.sqlite_synchronous,
        sqlite_busy_seconds=settings.sqlite_busy_seconds,
        pool_size=settings.pool_size,
        pool_overflow=settings.pool_overflow,
        pool_wait_seconds=settings.pool_wait_seconds,
        connect_seconds=settings.connect_seconds,
        statement_milliseconds=settings.statement_milliseconds,
        lock_milliseconds=settings.lock_milliseconds,
        transaction_pooler=settings.transaction_pooler,
        most_children={
            ResourceKind.ROOM: settings.rooms_per_survey,
            ResourceKind.WALL: settings.walls_per_room,
            ResourceKind.OPENING: settings.openings_per_wall,
            ResourceKind.FEATURE: settings.features_per_wall,
        },
    )
