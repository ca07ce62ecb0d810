"""Writers at the same time, as threads and as processes: every write gets a number of its own and none is lost."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import repeat
from uuid import UUID, uuid4

import pytest
from sqlalchemy import event

from service.errors import BoundReached, Conflict, PreconditionFailed
from service.store.database import Database
from service.usecases.create_account import create_account
from service.usecases.create_resource import create_resource
from service.usecases.list_resources import list_resources
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition
from service.usecases.replace_resource import replace_resource
from service.vocabulary import ResourceKind as K

WRITERS, EACH = 4, 10

WRITER = """
import sys
from uuid import UUID
from service.store.database import Database
from service.usecases.create_account import create_account
from service.usecases.create_resource import create_resource
from service.vocabulary import ResourceKind

url, account, project, times = sys.argv[1:]
database = Database(url)
sys.stdin.readline()
for _ in range(int(times)):
    create_resource(database, UUID(account), ResourceKind.ROOM, {"ceiling_height_mm": 2400}, parent_id=UUID(project))
"""


@pytest.fixture
def project(database: Database, account: UUID) -> UUID:
    return create_resource(database, account, K.PROJECT, {}).id


def _versions_of_rooms(database: Database, account: UUID, project: UUID) -> list[int]:
    page = list_resources(database, account, K.ROOM, parent_id=project, limit=1000)
    return sorted(record.version for record in page.items)


def test_threads_share_out_the_numbers(database: Database, account: UUID, project: UUID) -> None:
    def write(_: int) -> None:
        for _ in range(EACH):
            create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project)

    with ThreadPoolExecutor(WRITERS) as threads:
        list(threads.map(write, range(WRITERS)))
    # The project took number 1; the rooms take the next 40, each one once.
    assert _versions_of_rooms(database, account, project) == list(range(2, 2 + WRITERS * EACH))
    assert read_survey(database, account, project).version == 1 + WRITERS * EACH


def test_processes_share_out_the_numbers(database: Database, database_url: str, account: UUID, project: UUID) -> None:
    command = [sys.executable, "-c", WRITER, database_url, str(account), str(project), str(EACH)]
    writers = [subprocess.Popen(command, stdin=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        _, errors = writer.communicate(timeout=60)
        assert writer.returncode == 0, errors
    assert _versions_of_rooms(database, account, project) == list(range(2, 2 + 3 * EACH))
    positions = {
        record.data["position"] for record in list_resources(database, account, K.ROOM, parent_id=project, limit=99).items
    }
    assert positions == set(range(1, 1 + 3 * EACH))


def test_of_many_at_the_same_moment_no_more_are_made_than_may_be(database_url: str, account: UUID, project: UUID) -> None:
    bounded = Database(database_url, pool_size=10, most_children={K.ROOM: 3})

    def make(_: int) -> bool:
        try:
            create_resource(bounded, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project)
        except BoundReached:
            return False
        return True

    with ThreadPoolExecutor(8) as threads:
        assert sum(threads.map(make, range(8))) == 3
    assert _versions_of_rooms(bounded, account, project) == [2, 3, 4]
    bounded.close()


def test_of_two_changes_to_the_same_version_one_is_refused(database: Database, account: UUID, project: UUID) -> None:
    room = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project)

    def change(height: int) -> int | None:
        try:
            patch = {"ceiling_height_mm": height}
            return patch_resource(database, account, K.ROOM, room.id, patch, Precondition.match([room.version])).version
        except PreconditionFailed:
            return None

    with ThreadPoolExecutor(WRITERS) as threads:
        answers = list(threads.map(change, range(2500, 2500 + WRITERS)))
    assert sorted(answer is None for answer in answers) == [False, True, True, True]


def test_a_reader_sees_no_number_before_all_lower_ones(database: Database, account: UUID, project: UUID) -> None:
    def write(_: int) -> None:
        for _ in range(EACH):
            create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project)

    with ThreadPoolExecutor(3) as threads:
        writing = [threads.submit(write, 0) for _ in range(3)]
        while not all(writer.done() for writer in writing):
            seen = _versions_of_rooms(database, account, project)
            assert seen == list(range(2, 2 + len(seen)))
        for writer in writing:
            writer.result()


def test_the_same_put_from_two_callers_makes_one_room(database: Database, account: UUID, project: UUID) -> None:
    id, data = uuid4(), {"project_id": str(project), "ceiling_height_mm": 2400}

    def put(_: int) -> bool:
        return replace_resource(database, account, K.ROOM, id, data, Precondition.none())[1]

    with ThreadPoolExecutor(WRITERS) as threads:
        made = list(threads.map(put, range(WRITERS)))
    assert sorted(made) == [False, False, False, True]
    assert read_survey(database, account, project).version == 2


def test_a_put_whose_twin_comes_between_its_two_looks_finds_what_that_made(
    postgresql_url: str,
) -> None:
    """SQLite writers come one after the other."""
    slow, quick = Database(postgresql_url), Database(postgresql_url)
    account = create_account(quick, "Invented Linings").id
    project = create_resource(quick, account, K.PROJECT, {}).id
    id, data = uuid4(), {"project_id": str(project), "ceiling_height_mm": 2400}
    twin: list[bool] = []

    @event.listens_for(slow.engine, "after_cursor_execute")
    def overtake(connection: object, cursor: object, statement: str, *rest: object) -> None:
        if "FROM rooms" in statement and not twin:
            twin.append(True)
            twin[0] = replace_resource(quick, account, K.ROOM, id, data, Precondition.none())[1]

    record, is_new = replace_resource(slow, account, K.ROOM, id, data, Precondition.none())
    assert (twin, is_new, record.version) == ([True], False, 2)
    for database in (slow, quick):
        database.close()


def test_the_same_put_of_a_project_makes_one_project(database: Database, account: UUID) -> None:
    id = uuid4()

    def put(_: int) -> bool:
        return replace_resource(database, account, K.PROJECT, id, {"reference": "PLOT-7"}, Precondition.none())[1]

    with ThreadPoolExecutor(WRITERS) as threads:
        made = list(threads.map(put, range(WRITERS)))
    assert sorted(made) == [False, False, False, True]


def test_a_reference_is_won_by_one_and_the_others_learn_by_whom(database: Database, account: UUID) -> None:
    def make(_: int) -> UUID | str:
        try:
            return create_resource(database, account, K.PROJECT, {"reference": "PLOT-8"}).id
        except Conflict as conflict:
            return str(conflict.extra["id"])

    with ThreadPoolExecutor(WRITERS) as threads:
        answers = list(threads.map(make, range(WRITERS)))
    winners = [answer for answer in answers if isinstance(answer, UUID)]
    assert len(winners) == 1
    assert [answer for answer in answers if isinstance(answer, str)] == list(repeat(str(winners[0]), WRITERS - 1))
    assert read_resource(database, account, K.PROJECT, winners[0]).data["reference"] == "PLOT-8"
