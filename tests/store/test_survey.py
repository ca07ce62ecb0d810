"""A whole survey in one document: what is kept, made, deleted and refused, and the order on site."""

from copy import deepcopy
from itertools import pairwise
from typing import Any
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.errors import Gone, Invalid, Missing, PreconditionFailed, PreconditionRequired
from service.store import rows
from service.store.database import Database
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.list_resources import list_resources
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition, SurveyDocument
from service.usecases.replace_resource import replace_resource
from service.usecases.replace_survey import replace_survey
from service.usecases.survey_tree import Node, put_in_order
from service.vocabulary import ResourceKind as K

ANY, NONE = Precondition.any(), Precondition.none()
Json = dict[str, Any]


@pytest.fixture
def project(database: Database, account: UUID) -> UUID:
    return create_resource(database, account, K.PROJECT, {}).id


@pytest.fixture
def stored(database: Database, account: UUID, project: UUID, survey: Json) -> SurveyDocument:
    return replace_survey(database, account, project, survey, Precondition.match([1]))


def faults_of(wrong: pytest.ExceptionInfo[Invalid]) -> dict[str, str]:
    return {fault.pointer: fault.code for fault in wrong.value.faults}


def walls_of(document: Json) -> list[Json]:
    walls: list[Json] = document["rooms"][0]["walls"]
    return walls


def test_a_survey_is_stored_with_its_defaults_and_one_number_a_row(stored: SurveyDocument) -> None:
    # project 1; room 2; walls 3, 4; window and socket 5, 6
    assert stored.version == 6
    first, second = walls_of(stored.document)
    assert (first["corner_deg"], first["thickness_mm"], first["height_left_mm"], second["lined"]) == (90, 225, None, False)
    assert first["openings"][0]["board_sill"] is False
    assert [kind["kind"] for kind in first["features"]] == ["socket"]
    assert second["openings"] == second["features"] == []


def test_what_was_read_can_be_put_back_and_changes_nothing(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    assert read_survey(database, account, project) == stored
    assert replace_survey(database, account, project, stored.document, NONE) == stored


def test_ids_are_kept_missing_ones_made_and_the_rest_deleted(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    document = deepcopy(stored.document)
    first, second = walls_of(document)
    window = first["openings"].pop()
    first["length_mm"] = 4300
    walls_of(document).append({"length_mm": 800})
    after = replace_survey(database, account, project, document, Precondition.match([6]))
    # Written: the window's tombstone 7, then the changed wall 8 and the new wall 9. Nothing else takes a number.
    assert after.version == 9
    versions = [read_resource(database, account, K.WALL, UUID(str(wall["id"]))).version for wall in walls_of(after.document)]
    assert versions == [8, 4, 9]
    assert [wall["id"] for wall in walls_of(after.document)][:2] == [first["id"], second["id"]]
    assert read_resource(database, account, K.ROOM, document["rooms"][0]["id"]).version == 2
    with pytest.raises(Gone):
        read_resource(database, account, K.OPENING, window["id"])


def test_a_left_out_room_takes_all_beneath_it_along(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    after = replace_survey(database, account, project, {"rooms": []}, ANY)
    assert (after.document, after.version) == ({"rooms": []}, 6 + 5)
    for kind, id in (
        (K.WALL, walls_of(stored.document)[1]["id"]),
        (K.FEATURE, walls_of(stored.document)[0]["features"][0]["id"]),
    ):
        with pytest.raises(Gone):
            read_resource(database, account, kind, id)


def test_the_version_to_match_is_the_change_counter(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument, survey: Json
) -> None:
    with pytest.raises(PreconditionRequired):
        replace_survey(database, account, project, survey, NONE)
    room = stored.document["rooms"][0]["id"]
    patch_resource(database, account, K.ROOM, room, {"name": "Parlour"}, ANY)
    with pytest.raises(PreconditionFailed) as refused:
        replace_survey(database, account, project, survey, Precondition.match([stored.version]))
    assert refused.value.extra == {"version": 7}
    assert read_survey(database, account, project).document["rooms"][0]["name"] == "Parlour"


def test_every_fault_is_named_and_nothing_is_stored(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    document = deepcopy(stored.document)
    first, second = walls_of(document)
    first["length_mm"], first["colour"] = -1, "red"
    first["openings"][0]["kind"] = "hatch"
    second["id"] = "seven"
    document["rooms"].append({"name": "", "walls": {}})
    document["rooms"].append(7)
    with pytest.raises(Invalid) as wrong:
        replace_survey(database, account, project, document, ANY)
    assert faults_of(wrong) == {
        "#/rooms/0/walls/0/length_mm": "out_of_range",
        "#/rooms/0/walls/0/colour": "unknown_member",
        "#/rooms/0/walls/0/openings/0/kind": "not_in_list",
        "#/rooms/0/walls/1/id": "wrong_type",
        "#/rooms/1/name": "too_short",
        "#/rooms/1/ceiling_height_mm": "required",
        "#/rooms/1/walls": "wrong_type",
        "#/rooms/2": "wrong_type",
    }
    assert read_survey(database, account, project) == stored


def test_ids_that_cannot_be_kept_are_refused_by_pointer(
    database: Database, account: UUID, other_account: UUID, project: UUID, stored: SurveyDocument, survey: Json
) -> None:
    second_project = create_resource(database, account, K.PROJECT, {"survey": survey})
    foreign_project = create_resource(database, other_account, K.PROJECT, {"survey": survey})
    neighbour = read_survey(database, account, second_project.id).document["rooms"][0]
    foreign = read_survey(database, other_account, foreign_project.id).document["rooms"][0]
    first, second = walls_of(stored.document)
    delete_resource(database, account, K.WALL, second["id"], ANY)
    room = stored.document["rooms"][0]
    height = {"ceiling_height_mm": 2400}
    document = {
        "rooms": [
            {**height, "id": room["id"], "walls": [{"id": second["id"], "length_mm": 900}, {"id": room["id"], "length_mm": 900}]},
            {**height, "id": neighbour["id"]},
            {**height, "id": foreign["id"]},
            {**height, "walls": [{"id": first["id"], "length_mm": 900}]},
            {**height, "id": first["openings"][0]["id"]},
            {**height, "id": project},
            {**height, "id": (unused := uuid4())},
            {**height, "id": unused},
        ]
    }
    with pytest.raises(Invalid) as wrong:
        replace_survey(database, account, project, document, ANY)
    assert faults_of(wrong) == {
        "#/rooms/0/walls/0/id": "deleted_id",
        "#/rooms/0/walls/1/id": "id_twice",
        "#/rooms/1/id": "foreign_id",
        "#/rooms/2/id": "foreign_id",
        "#/rooms/3/walls/0/id": "id_elsewhere",
        "#/rooms/4/id": "id_of_another_kind",
        "#/rooms/5/id": "id_of_another_kind",
        "#/rooms/7/id": "id_twice",
    }


def test_a_callers_own_ids_are_kept(database: Database, account: UUID, project: UUID) -> None:
    room, wall = uuid4(), uuid4()
    document = {"rooms": [{"id": str(room), "ceiling_height_mm": 2400, "walls": [{"id": str(wall), "length_mm": 900}]}]}
    replace_survey(database, account, project, document, ANY)
    assert read_resource(database, account, K.WALL, wall).data["room_id"] == room


def lengths(document: Json) -> list[int]:
    return [wall["length_mm"] for wall in walls_of(document)]


@pytest.mark.parametrize(
    ("order", "written"),
    [
        ([1, 2, 3, 4], 0),
        ([2, 3, 4, 1], 1),
        ([1, 2, None, 3, 4], 1),
        ([None, 1, 2, 3, 4], 1),
        ([1, None, None, 2, 3, 4], 2),
        ([4, 1, 2, 3], 3),
        ([4, 3, 2, 1], 3),
    ],
)
def test_the_order_of_the_list_is_the_order_on_site(
    database: Database, account: UUID, project: UUID, order: list[int | None], written: int
) -> None:
    """`order`: the four walls by number, None a new one; `written`: how many rows need a new version for it."""
    document: Json = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": n} for n in (1, 2, 3, 4)]}]}
    stored = replace_survey(database, account, project, document, ANY)
    walls = {wall["length_mm"]: wall for wall in walls_of(stored.document)}
    turned = deepcopy(stored.document)
    turned["rooms"][0]["walls"] = [walls[n] if n else {"length_mm": 99} for n in order]
    for wall in walls_of(turned):
        wall.pop("position", None)
    after = replace_survey(database, account, project, turned, ANY)
    assert lengths(after.document) == [n or 99 for n in order]
    assert after.version - stored.version == written
    assert lengths(read_survey(database, account, project).document) == lengths(after.document)


@given(st.lists(st.none() | st.floats(-1e6, 1e6), max_size=12))
def test_any_list_gets_positions_in_its_order_and_an_ordered_one_keeps_them(positions: list[float | None]) -> None:
    nodes = [Node(K.WALL, "", UUID(int=n), True, UUID(int=99), {"position": at}) for n, at in enumerate(positions)]
    put_in_order(nodes)
    given_out = [(node.values["position"], node.id) for node in nodes]
    assert all(earlier < later for earlier, later in pairwise(given_out))
    if None not in positions and all(a <= b for a, b in pairwise(positions)):  # ids ascend, so equal positions are in order
        assert [position for position, _ in given_out] == positions


def test_a_gap_that_is_full_pushes_the_rest_along(database: Database, account: UUID, project: UUID) -> None:
    document: Json = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": 1}, {"length_mm": 2}]}]}
    expected = [1, 2]
    for n in range(3, 63):  # halving the gap between 1 and 2 ends after 52 steps: a double has 52 bits after the point
        stored = replace_survey(database, account, project, document, ANY)
        document = deepcopy(stored.document)
        walls_of(document).insert(1, {"length_mm": n})
        expected.insert(1, n)
    assert lengths(replace_survey(database, account, project, document, ANY).document) == expected


def test_a_project_comes_with_its_survey_in_one_go(database: Database, account: UUID, survey: Json) -> None:
    made = create_resource(database, account, K.PROJECT, {"name": "Barn", "survey": survey})
    stored = read_survey(database, account, made.id)
    assert made.version == stored.version == 7  # the project, five rows, the project again
    bad = deepcopy(survey)
    bad["rooms"][0]["walls"][0]["length_mm"] = 0
    with pytest.raises(Invalid) as wrong:
        create_resource(database, account, K.PROJECT, {"repeat": 0, "survey": bad})
    assert faults_of(wrong) == {"#/repeat": "out_of_range", "#/survey/rooms/0/walls/0/length_mm": "out_of_range"}
    assert len(list_resources(database, account, K.PROJECT).items) == 1


def test_putting_a_project_with_its_survey_never_overwrites_what_was_not_seen(
    database: Database, account: UUID, survey: Json
) -> None:
    id = uuid4()
    made, _ = replace_resource(database, account, K.PROJECT, id, {"survey": survey}, NONE)
    seen = Precondition.match([made.version])
    document = deepcopy(read_survey(database, account, id).document)
    walls_of(document)[0]["length_mm"] = 4300
    changed, _ = replace_resource(database, account, K.PROJECT, id, {"survey": document}, seen)
    assert changed.version == read_survey(database, account, id).version
    repeated, _ = replace_resource(database, account, K.PROJECT, id, {"survey": document}, seen)
    assert repeated == changed
    wall = walls_of(document)[1]["id"]
    patch_resource(database, account, K.WALL, wall, {"length_mm": 3650}, ANY)
    with pytest.raises(PreconditionFailed):
        replace_resource(database, account, K.PROJECT, id, {"survey": document}, Precondition.match([changed.version]))
    assert read_resource(database, account, K.WALL, wall).data["length_mm"] == 3650


def test_another_accounts_survey_is_not_there(
    database: Database, other_account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    with pytest.raises(Missing):
        read_survey(database, other_account, project)
    with pytest.raises(Missing):
        replace_survey(database, other_account, project, stored.document, ANY)


def test_a_wall_without_heights_follows_its_room(
    database: Database, account: UUID, project: UUID, stored: SurveyDocument
) -> None:
    with database.read() as session:
        wall = rows.live(session, account, K.WALL, walls_of(stored.document)[0]["id"])
        assert (wall.height_left_mm, wall.height_right_mm) == (None, None)  # type: ignore[attr-defined]
