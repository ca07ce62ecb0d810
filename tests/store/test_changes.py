"""The list of changes: the whole project, then what was written since; nothing is left out while others write."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from following import Follower

from service.errors import Gone, Missing, PlaceLost
from service.store.database import Database
from service.usecases.change_records import FeedPlace
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.read_changes import read_changes
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition, SurveyDocument
from service.usecases.replace_survey import replace_survey
from service.vocabulary import ResourceKind as K

ANY = Precondition.any()


@pytest.fixture
def project(database: Database, account: UUID, survey: dict[str, Any]) -> UUID:
    return create_resource(database, account, K.PROJECT, {"reference": "INV-1", "survey": survey}).id


@pytest.fixture
def stored(database: Database, account: UUID, project: UUID) -> Callable[[], SurveyDocument]:
    return lambda: read_survey(database, account, project)


def test_without_a_place_it_is_the_whole_project(
    database: Database, account: UUID, project: UUID, stored: Callable[[], SurveyDocument]
) -> None:
    page = read_changes(database, account, project, None, 100)
    assert [change.kind for change in page.changes] == [K.ROOM, K.WALL, K.WALL, K.OPENING, K.FEATURE, K.PROJECT]
    assert [change.version for change in page.changes] == [2, 3, 4, 5, 6, 7]
    assert not page.has_more
    assert page.place.seen == stored().version == 7
    follower = Follower(database, account, project)
    follower.read_on()
    assert follower.survey() == stored().document


@pytest.mark.parametrize("limit", [1, 2, 3, 5, 6, 7])
def test_pages_of_any_length_add_up_to_the_same(
    database: Database, account: UUID, project: UUID, limit: int, stored: Callable[[], SurveyDocument]
) -> None:
    follower = Follower(database, account, project, limit)
    assert follower.read_on() == -(-6 // limit), "six rows; no empty page at the end"
    assert follower.survey() == stored().document


def test_only_what_was_written_since_is_told_and_each_row_once(database: Database, account: UUID, project: UUID) -> None:
    place = read_changes(database, account, project, None, 100).place
    assert read_changes(database, account, project, place, 100).changes == ()
    room = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=project)
    for height in (2410, 2420):
        patch_resource(database, account, K.ROOM, room.id, {"ceiling_height_mm": height}, ANY)
    page = read_changes(database, account, project, place, 100)
    (change,) = page.changes
    assert change.record is not None
    assert (change.id, change.version, change.record.data["ceiling_height_mm"]) == (room.id, 10, 2420)
    assert (page.place.seen, page.has_more) == (10, False)


def test_what_was_deleted_is_told_to_those_who_may_have_it(
    database: Database, account: UUID, project: UUID, stored: Callable[[], SurveyDocument]
) -> None:
    early = Follower(database, account, project)
    early.read_on()
    room = UUID(str(stored().document["rooms"][0]["id"]))
    delete_resource(database, account, K.ROOM, room, ANY, with_children=True)
    page = read_changes(database, account, project, early.place, 100)
    assert [(change.kind, change.deleted, change.record) for change in page.changes] == [
        (kind, True, None) for kind in (K.WALL, K.WALL, K.OPENING, K.FEATURE, K.ROOM)
    ]
    assert [change.kind for change in read_changes(database, account, project, None, 100).changes] == [K.PROJECT]
    early.read_on()
    assert early.survey() == stored().document == {"rooms": []}


@pytest.mark.parametrize("limit", [1, 2, 4])
def test_a_snapshot_that_others_write_into_ends_as_the_project_stands(
    database: Database, account: UUID, project: UUID, limit: int, stored: Callable[[], SurveyDocument]
) -> None:
    """Rows not read yet, rows read already, rows made and rows deleted between any two pages."""
    follower = Follower(database, account, project, limit)
    follower.read_page()
    walls = [UUID(str(wall["id"])) for wall in stored().document["rooms"][0]["walls"]]
    patch_resource(database, account, K.WALL, walls[0], {"length_mm": 4100}, ANY)
    follower.read_page()
    delete_resource(database, account, K.WALL, walls[1], ANY)
    feature = stored().document["rooms"][0]["walls"][0]["features"][0]["id"]
    follower.read_page()
    delete_resource(database, account, K.FEATURE, UUID(str(feature)), ANY)
    create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2300}, parent_id=project)
    follower.read_on()
    assert follower.survey() == stored().document


def test_a_survey_put_whole_is_told_row_by_row(
    database: Database, account: UUID, project: UUID, survey: dict[str, Any], stored: Callable[[], SurveyDocument]
) -> None:
    follower = Follower(database, account, project)
    follower.read_on()
    before = stored()
    del before.document["rooms"][0]["walls"][1]
    replace_survey(database, account, project, {"rooms": [*before.document["rooms"], survey["rooms"][0]]}, ANY)
    follower.read_on()
    assert follower.survey() == stored().document


def test_a_project_that_is_not_there_tells_nothing(database: Database, account: UUID, other_account: UUID, project: UUID) -> None:
    with pytest.raises(Missing):
        read_changes(database, other_account, project, None, 10)
    delete_resource(database, account, K.PROJECT, project, ANY)
    with pytest.raises(Gone):
        read_changes(database, account, project, None, 10)


def test_a_place_that_the_project_has_not_come_to_is_lost(database: Database, account: UUID, project: UUID) -> None:
    """As after a backup was put back."""
    read_changes(database, account, project, FeedPlace(7, 7), 10)
    for place in (FeedPlace(8, 7), FeedPlace(0, 8)):
        with pytest.raises(PlaceLost):
            read_changes(database, account, project, place, 10)
