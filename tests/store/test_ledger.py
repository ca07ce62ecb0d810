"""Every write takes the next number of its root's counter, and nothing is written past that."""

from uuid import UUID, uuid4

import pytest
from sqlalchemy import delete, insert, update
from sqlalchemy.orm import Session

from service.errors import PreconditionFailed, Unavailable
from service.store import rows
from service.store.database import Database
from service.store.kinds import KINDS
from service.store.ledger import Ledger, UnnumberedWrite
from service.store.models import Project, Room, Wall
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition, Record
from service.usecases.replace_resource import replace_resource
from service.vocabulary import ResourceKind as K


@pytest.fixture
def project(database: Database, account: UUID) -> Record:
    return create_resource(database, account, K.PROJECT, {"name": "Terrace"})


@pytest.fixture
def room(database: Database, account: UUID, project: Record) -> Record:
    return create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project.id)


def test_each_written_row_takes_the_next_number(database: Database, account: UUID, project: Record, room: Record) -> None:
    wall = create_resource(database, account, K.WALL, {"length_mm": 3000}, parent_id=room.id)
    opening = {"kind": "door", "offset_mm": 100, "width_mm": 900, "sill_mm": 0, "height_mm": 2000}
    door = create_resource(database, account, K.OPENING, opening, parent_id=wall.id)
    longer = patch_resource(database, account, K.WALL, wall.id, {"length_mm": 3100}, Precondition.match([wall.version]))
    renamed = patch_resource(database, account, K.PROJECT, project.id, {"name": "Corner house"}, Precondition.any())
    # project 1, room 2, wall 3, door 4, then the wall's and the project's changes
    assert [record.version for record in (project, room, wall, door, longer, renamed)] == [1, 2, 3, 4, 5, 6]
    assert read_survey(database, account, project.id).version == 6


def test_deleting_numbers_every_tombstone(database: Database, account: UUID, project: Record, room: Record) -> None:
    wall = create_resource(database, account, K.WALL, {"length_mm": 3000}, parent_id=room.id)
    delete_resource(database, account, K.ROOM, room.id, Precondition.any(), with_children=True)
    with database.read() as session:
        versions = {rows.kept(session, account, K.ROOM, room.id).version, rows.kept(session, account, K.WALL, wall.id).version}
    assert versions == {4, 5}
    assert read_survey(database, account, project.id).version == 5


def test_a_fields_version_is_that_of_its_last_write(database: Database, account: UUID, room: Record) -> None:
    wall = create_resource(database, account, K.WALL, {"length_mm": 3000}, parent_id=room.id)
    patch_resource(database, account, K.WALL, wall.id, {"length_mm": 3100}, Precondition.any())
    patch_resource(database, account, K.WALL, wall.id, {"substrate": "stone", "length_mm": 3100}, Precondition.any())
    with database.read() as session:
        versions = rows.live(session, account, K.WALL, wall.id).field_versions
    assert (versions["length_mm"], versions["substrate"], versions["lined"]) == (4, 5, 3)
    members = {name for name in KINDS[K.WALL].model.fields() if name != "room_id"}
    assert members <= versions.keys()


def test_an_items_write_moves_its_catalogues_counter_and_not_its_version(database: Database, account: UUID) -> None:
    catalogue = create_resource(database, account, K.CATALOGUE, {"name": "Counter range"})
    item = {"sku": "S-24", "component": "c_stud", "length_mm": 2400}
    first = create_resource(database, account, K.CATALOGUE_ITEM, item, parent_id=catalogue.id)
    assert first.version == 2
    with database.read() as session:
        stored = rows.live(session, account, K.CATALOGUE, catalogue.id)
        assert (stored.version, stored.change_counter) == (1, 2)


def _change_a_loaded_row(session: Session, room: Record) -> None:
    session.get_one(Room, room.id).name = "Past the ledger"


def _add_a_row(session: Session, room: Record) -> None:
    there = session.get_one(Room, room.id)
    copied = {column.name: getattr(there, column.name) for column in Room.__table__.columns}
    session.add(Room(**{**copied, "id": uuid4(), "version": 99}))


def _number_a_row_by_hand(session: Session, room: Record) -> None:
    there = session.get_one(Room, room.id)
    there.name, there.version = "By hand", there.version + 1


def _change_after_numbering(session: Session, room: Record) -> None:
    there = session.get_one(Room, room.id)
    Ledger.locked(session, Project, there.project_id).write(there, {"name": "Numbered"})
    there.version += 7


def _change_again_after_the_flush(session: Session, room: Record) -> None:
    there = session.get_one(Room, room.id)
    Ledger.locked(session, Project, there.project_id).write(there, {"name": "Numbered"})
    session.flush()
    there.name = "And once more"


def _change_a_root(session: Session, room: Record) -> None:
    project = session.get_one(Project, room.data["project_id"])
    project.name, project.change_counter = "Past the ledger", project.change_counter + 1


def _remove_a_row(session: Session, room: Record) -> None:
    session.delete(session.get_one(Room, room.id))


def _update_by_statement(session: Session, room: Record) -> None:
    session.execute(update(Room).where(Room.id == room.id).values(name="Past the ledger"))


def _insert_by_statement(session: Session, room: Record) -> None:
    session.execute(insert(Wall), [{"id": uuid4(), "version": 9}])


def _delete_by_statement(session: Session, room: Record) -> None:
    session.execute(delete(Room).where(Room.id == room.id))


@pytest.mark.parametrize(
    "write",
    [
        _change_a_loaded_row,
        _add_a_row,
        _number_a_row_by_hand,
        _change_after_numbering,
        _change_again_after_the_flush,
        _change_a_root,
        _remove_a_row,
        _update_by_statement,
        _insert_by_statement,
        _delete_by_statement,
    ],
)
def test_a_write_past_the_ledger_is_refused(database: Database, account: UUID, room: Record, write: object) -> None:
    assert callable(write)
    with pytest.raises(UnnumberedWrite), database.write() as session:
        write(session, room)
    with database.read() as session:
        assert rows.live(session, account, K.ROOM, room.id).version == room.version


@pytest.mark.parametrize("deleted", [False, True])
def test_the_database_itself_refuses_a_write_of_another_version_than_was_read(
    database: Database, account: UUID, room: Record, deleted: bool
) -> None:
    """No lock of ours lets this happen; if one ever did, the statement would still name the version that it replaces."""
    with pytest.raises(PreconditionFailed), database.write() as session:
        row = rows.live(session, account, K.ROOM, room.id)
        ledger = rows.ledger_of(session, K.ROOM, row)
        row = rows.live(session, account, K.ROOM, room.id)
        session.connection().exec_driver_sql("UPDATE rooms SET version = version + 100")
        ledger.write(row, {} if deleted else {"name": "Loft"}, deleted=deleted)
    assert read_resource(database, account, K.ROOM, room.id) == room, "and nothing of it is left"


def test_a_reading_session_writes_nothing(database: Database, account: UUID, room: Record) -> None:
    with pytest.raises(UnnumberedWrite), database.read() as session:
        session.get_one(Room, room.id).name = "Written while reading"
        session.flush()


def test_a_root_that_is_being_written_keeps_others_waiting(
    database_url: str, database: Database, project: Record, room: Record
) -> None:
    """Nobody even reads the counter meanwhile: a short-tempered writer gives up, a patient one would get the next number."""
    impatient = Database(database_url, sqlite_busy_seconds=0, lock_milliseconds=50)

    def take_the_ledger(session: Session) -> int:
        return Ledger.locked(session, Project, project.id).root.change_counter

    with database.write() as session:
        ledger = Ledger.locked(session, Project, project.id)
        with pytest.raises(Unavailable):
            impatient.transact(take_the_ledger)
        ledger.write(session.get_one(Room, room.id), {"name": "Written first"})
    assert impatient.transact(take_the_ledger) == room.version + 1
    impatient.close()


def test_what_changes_nothing_takes_no_number(database: Database, account: UUID, project: Record, room: Record) -> None:
    data = {"project_id": str(project.id), "ceiling_height_mm": 2400}
    again, made = replace_resource(database, account, K.ROOM, room.id, data, Precondition.none())
    patched = patch_resource(
        database, account, K.ROOM, room.id, {"closed": None, "ceiling_height_mm": 2400.0}, Precondition.none()
    )
    assert (again, patched, made) == (room, room, False)
    assert read_survey(database, account, project.id).version == 2
