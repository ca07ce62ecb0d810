"""Tombstones and the past are kept 90 days and then go; what is gone for good stays deleted, and nobody misses that it went."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from following import Follower
from sqlalchemy import func, select, update

from service.errors import Conflict, Gone, Invalid, Missing, PlaceLost
from service.store.clock import now
from service.store.database import Database
from service.store.kinds import KINDS
from service.store.models import MutationResult, Overwritten, Wall
from service.usecases.apply_mutations import apply_mutations
from service.usecases.change_records import FeedPlace, Mutation
from service.usecases.create_account import create_account
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.read_changes import read_changes
from service.usecases.read_resource import read_resource
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition
from service.usecases.replace_resource import replace_resource
from service.usecases.replace_survey import replace_survey
from service.usecases.sweep_changes import sweep_changes
from service.vocabulary import MutationOp as Op
from service.vocabulary import MutationStatus as S
from service.vocabulary import ResourceKind as K

ANY, NONE = Precondition.any(), Precondition.none()
KEPT = timedelta(days=90)
SURVEY_ROWS = (K.ROOM, K.WALL, K.OPENING, K.FEATURE)


@pytest.fixture
def project(database: Database, account: UUID, survey: dict[str, Any]) -> UUID:
    """Room 2, walls 3 and 4, window 5, socket 6, project 7."""
    return create_resource(database, account, K.PROJECT, {"survey": survey}).id


def days_pass(database: Database, days: float) -> None:
    """All that is deleted and all of the past is older by so much."""
    age = timedelta(days=days)
    with database.write() as session:
        for table, column in [
            *((KINDS[kind].model.__table__, "deleted_at") for kind in SURVEY_ROWS),
            (Overwritten.__table__, "written_at"),
            (MutationResult.__table__, "made_at"),
        ]:
            for moment in session.scalars(select(table.c[column]).where(table.c[column].is_not(None)).distinct()).all():
                session.execute(update(table).where(table.c[column] == moment).values({column: moment - age}))


def test_what_was_deleted_is_kept_ninety_days_and_then_goes(database: Database, account: UUID, project: UUID, wall: UUID) -> None:
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)  # window 8, socket 9, wall 10
    before = read_survey(database, account, project)
    days_pass(database, 89.9)
    assert sweep_changes(database, KEPT) == 0
    assert [change.version for change in read_changes(database, account, project, FeedPlace(7, 7), 9).changes] == [8, 9, 10]
    days_pass(database, 0.2)
    assert sweep_changes(database, KEPT) == 3
    assert sweep_changes(database, KEPT) == 0
    assert read_survey(database, account, project) == before, "nobody who looks at the survey sees a difference"


LOST = [(7, 7), (9, 7), (2, 9), (0, 0)]
GOOD = [(10, 7), (11, 7), (2, 10)]


def test_who_may_have_missed_what_went_reads_the_project_anew(
    database: Database, account: UUID, project: UUID, wall: UUID
) -> None:
    """8, 9 and 10 were deletions. Who began after them was never to be told; who has read past them has been."""
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    patch_resource(database, account, K.PROJECT, project, {"notes": "11"}, ANY)
    for seen, started in (*LOST, *GOOD):
        read_changes(database, account, project, FeedPlace(seen, started), 50)
    days_pass(database, 91)
    sweep_changes(database, KEPT)
    for seen, started in LOST:
        with pytest.raises(PlaceLost):
            read_changes(database, account, project, FeedPlace(seen, started), 50)
    for seen, started in GOOD:
        assert not read_changes(database, account, project, FeedPlace(seen, started), 50).has_more
    anew = Follower(database, account, project)
    anew.read_on()
    assert anew.survey() == read_survey(database, account, project).document


def test_a_deleted_id_stays_deleted(
    database: Database, account: UUID, other_account: UUID, project: UUID, room: dict[str, Any], wall: UUID
) -> None:
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    days_pass(database, 91)
    sweep_changes(database, KEPT)
    data = {"room_id": room["id"], "length_mm": 4200}
    with pytest.raises(Gone):
        read_resource(database, account, K.WALL, wall)
    with pytest.raises(Gone):
        replace_resource(database, account, K.WALL, wall, data, NONE)
    with pytest.raises(Gone):
        create_resource(database, account, K.FEATURE, {"kind": "socket", "x_mm": 1, "y_mm": 1}, parent_id=wall)
    delete_resource(database, account, K.WALL, wall, NONE)
    with pytest.raises(Missing):
        read_resource(database, other_account, K.WALL, wall)
    with pytest.raises(Missing):
        read_resource(database, account, K.ROOM, wall)
    with pytest.raises(Conflict):
        replace_resource(database, account, K.ROOM, wall, {"project_id": project, "ceiling_height_mm": 2400}, NONE)
    with pytest.raises(Invalid) as beneath:
        replace_resource(database, account, K.FEATURE, uuid4(), {"wall_id": wall, "kind": "pipe", "x_mm": 1, "y_mm": 1}, NONE)
    assert [(fault.pointer, fault.code) for fault in beneath.value.faults] == [("#/wall_id", "deleted_id")]
    again = {"rooms": [{**room, "walls": [{"id": wall, "length_mm": 4200}]}]}
    with pytest.raises(Invalid) as whole:
        replace_survey(database, account, project, again, ANY)
    assert [(fault.pointer, fault.code) for fault in whole.value.faults] == [("#/rooms/0/walls/0/id", "deleted_id")]
    other = create_resource(database, account, K.PROJECT, {}).id
    elsewhere = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"id": wall, "length_mm": 4200}]}]}
    with pytest.raises(Invalid) as foreign:
        replace_survey(database, account, other, elsewhere, ANY)
    assert [fault.code for fault in foreign.value.faults] == ["foreign_id"]


def test_a_device_that_was_away_for_long_is_told_what_is_gone(
    database: Database, account: UUID, project: UUID, room: dict[str, Any], wall: UUID
) -> None:
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    days_pass(database, 91)
    sweep_changes(database, KEPT)
    socket = {"wall_id": wall, "kind": "socket", "x_mm": 9, "y_mm": 9}
    wishes = [
        Mutation("1", K.WALL, wall, Op.PATCH, 3, {"name": "Gable"}),
        Mutation("2", K.WALL, wall, Op.PUT, 3, {"room_id": room["id"], "length_mm": 4200}),
        Mutation("3", K.FEATURE, uuid4(), Op.PUT, None, socket),
        Mutation("4", K.WALL, wall, Op.DELETE, 7, {}),
    ]
    outcomes = apply_mutations(database, account, project, wishes)
    assert [outcome.status for outcome in outcomes] == [S.CONFLICT, S.CONFLICT, S.CONFLICT, S.APPLIED]
    for outcome in outcomes:
        change = outcome.change
        assert change and (change.id, change.version, change.deleted, change.record) == (wall, 10, True, None)
    other = create_resource(database, account, K.PROJECT, {"survey": {"rooms": [{"ceiling_height_mm": 2400}]}}).id
    elsewhere = read_survey(database, account, other).document["rooms"][0]["id"]
    taken = Mutation("5", K.WALL, wall, Op.PUT, None, {"room_id": elsewhere, "length_mm": 4200})
    (outcome,) = apply_mutations(database, account, other, [taken])
    assert [(fault.pointer, fault.code) for fault in outcome.faults] == [("#/id", "deleted_id")]


def test_a_wish_sent_again_after_its_result_went_is_not_written_over_anothers(
    database: Database, account: UUID, project: UUID, wall: UUID
) -> None:
    mine = Mutation("m", K.WALL, wall, Op.PATCH, 3, {"length_mm": 4150})
    apply_mutations(database, account, project, [mine])
    days_pass(database, 91)
    assert sweep_changes(database, KEPT) == 2, "its result and the length before"
    assert [outcome.status for outcome in apply_mutations(database, account, project, [mine])] == [S.APPLIED]
    assert read_survey(database, account, project).version == 8, "it stands already, so nothing is written"
    patch_resource(database, account, K.WALL, wall, {"length_mm": 4160}, ANY)
    days_pass(database, 91)
    sweep_changes(database, KEPT)
    assert [outcome.status for outcome in apply_mutations(database, account, project, [mine])] == [S.CONFLICT]


def test_what_still_has_something_beneath_it_waits(database: Database, account: UUID, project: UUID, wall: UUID) -> None:
    """Clocks of two servers differ, so a child may seem to have ended after its parent."""
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    table: Any = Wall.__table__
    with database.write() as session:
        session.execute(update(table).where(table.c.id == wall).values(deleted_at=now() - timedelta(days=91)))
    assert sweep_changes(database, KEPT) == 0
    days_pass(database, 91)
    assert sweep_changes(database, KEPT) == 3


def test_sweepers_at_once_sweep_once_and_project_by_project(database: Database, account: UUID, survey: dict[str, Any]) -> None:
    for _ in range(3):
        project = create_resource(database, account, K.PROJECT, {"survey": survey}).id
        delete_resource(database, account, K.PROJECT, project, ANY)
    days_pass(database, 91)
    assert sweep_changes(database, KEPT, at_most=1) == 5, "room, two walls, window, socket; a project itself stays"
    with ThreadPoolExecutor(3) as threads:
        swept = sum(threads.map(lambda _: sweep_changes(database, KEPT), range(3)))
    assert swept == 10
    with database.read() as session:
        left = [session.scalar(select(func.count()).select_from(KINDS[kind].model)) for kind in SURVEY_ROWS]
    assert left == [0, 0, 0, 0]


def test_the_command_sweeps_all_there_is(
    sqlite_database: Database, sqlite_url: str, survey: dict[str, Any], tmp_path: Path
) -> None:
    account = create_account(sqlite_database, "Invented Linings").id
    for _ in range(21):  # one more than goes at a time
        project = create_resource(sqlite_database, account, K.PROJECT, {"survey": survey}).id
        delete_resource(sqlite_database, account, K.PROJECT, project, ANY)
    days_pass(sqlite_database, 91)
    environment = {**os.environ, "DATABASE_URL": sqlite_url, "SERVICE_DATA_DIR": str(tmp_path)}
    command = [sys.executable, "-m", "service", "database", "sweep"]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    assert done.stdout == "105 rows are gone.\n"
