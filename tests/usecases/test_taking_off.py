"""Takeoffs of surveys that are sent and of surveys that are stored, on both databases."""

import threading
from uuid import UUID, uuid4, uuid5

import pytest
from sqlalchemy import delete, func, select

from service.errors import Conflict, GeometryInvalid, Gone, Invalid, Missing
from service.store.models import Result, ResultPart, Takeoff
from service.usecases.create_account import create_account
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.read_survey import read_survey
from service.usecases.read_takeoff import read_takeoff
from service.usecases.read_takeoff_part import read_takeoff_part
from service.usecases.records import Precondition
from service.usecases.replace_survey import replace_survey
from service.usecases.take_off_inline import take_off_inline
from service.usecases.take_off_project import take_off_project
from service.vocabulary import Component, ResourceKind, TakeoffPart

EVERYTHING = tuple(TakeoffPart)


def survey(**changes):
    window = {"kind": "window", "offset_mm": 1200, "width_mm": 1200, "sill_mm": 900, "height_mm": 1200}
    wall = {"length_mm": 4200, "openings": [{**window, **changes}], "features": [{"kind": "socket", "x_mm": 400, "y_mm": 450}]}
    return {"rooms": [{"name": "Front room", "ceiling_height_mm": 2700, "walls": [wall, {"length_mm": 3000}]}]}


@pytest.fixture
def account(database) -> UUID:
    return create_account(database, "Invented contractor").id


def counted(database, model) -> int:
    with database.read() as session:
        return session.scalar(select(func.count()).select_from(model))


def test_a_survey_alone_is_enough_for_a_new_account(database, account):
    takeoff = take_off_inline(database, account, {"survey": survey()}, EVERYTHING)[0]
    assert takeoff["status"] == "succeeded"
    assert takeoff["inputs"] == {
        "project_id": None, "survey_version": None, "specification_id": None, "specification_version": None,
        "catalogue_id": None, "catalogue_version": None,
    }  # fmt: skip
    assert takeoff["options"] == {"pool": "project", "kerf_mm": 0, "allowances": {}, "offcuts": False}
    # 4200 × 2700 less a window of 1200 × 1200, and 3000 × 2700; the corner takes 112.5 of each: 17.3925 m²
    assert takeoff["totals"]["lined_area_m2"] == pytest.approx(17.3925, abs=0.0006)
    assert takeoff["totals"]["rooms"] == 1
    assert takeoff["totals"]["net_price"] is None
    assert {line["component"] for line in takeoff["schedule"]["lines"]} >= {"c_stud", "u_channel", "bracket"}
    assert all(line["order"] for line in takeoff["schedule"]["lines"])
    assert len(takeoff["layouts"]["layouts"]) == 2
    assert takeoff["cut_lists"]["bars"]
    assert read_takeoff(database, account, UUID(takeoff["id"]), EVERYTHING) == takeoff


def test_missing_ids_are_made_from_the_takeoffs_id_and_the_place_and_given_ones_are_kept(database, account):
    sent = survey()
    given = uuid4()
    sent["rooms"][0]["walls"][1]["id"] = str(given)
    takeoff = take_off_inline(database, account, {"survey": sent}, [TakeoffPart.LAYOUTS])[0]
    first, second = takeoff["layouts"]["layouts"]
    own = UUID(takeoff["id"])
    assert (first["room_id"], first["wall_id"]) == (str(uuid5(own, "1")), str(uuid5(own, "1/1")))
    assert first["openings"][0]["id"] == str(uuid5(own, "1/1/opening-1"))
    assert (second["room_id"], second["wall_id"]) == (first["room_id"], str(given))


def test_equal_surveys_share_one_result_under_their_own_ids(database, account):
    first = take_off_inline(database, account, {"survey": survey()}, EVERYTHING)[0]
    second = take_off_inline(database, account, {"survey": survey(name="bay window")}, EVERYTHING)[0]
    assert first["id"] != second["id"]
    assert first["digest"] == second["digest"]
    assert counted(database, Takeoff) == 2
    assert counted(database, Result) == 1
    walls = [{layout["wall_id"] for layout in takeoff["layouts"]["layouts"]} for takeoff in (first, second)]
    assert not walls[0] & walls[1]
    assert first["totals"] == second["totals"]


def test_a_takeoff_of_an_engine_that_did_not_assess_heat_is_read_without_it(database, account):
    takeoff = take_off_inline(database, account, {"survey": survey()}, EVERYTHING)[0]
    with database.read() as session:
        parts = session.scalars(select(ResultPart).where(ResultPart.part.in_(["thermal", "cautions"]))).all()
        assert len({part.part for part in parts}) == 2
    database.transact(lambda session: session.execute(delete(ResultPart).where(ResultPart.part.in_(["thermal", "cautions"]))))
    id = UUID(takeoff["id"])
    again = read_takeoff(database, account, id, EVERYTHING)
    assert again == {name: value for name, value in takeoff.items() if name not in ("thermal", "cautions")}
    with pytest.raises(Missing, match="Make it again"):
        read_takeoff_part(database, account, id, TakeoffPart.THERMAL)


def test_another_accounts_result_is_not_shared_and_not_seen(database, account):
    takeoff = take_off_inline(database, account, {"survey": survey()})[0]
    other = create_account(database, "Another invented contractor").id
    again = take_off_inline(database, other, {"survey": survey()})[0]
    assert takeoff["digest"] == again["digest"]
    assert counted(database, Result) == 2
    for read in (
        read_takeoff,
        lambda *a: read_takeoff_part(*a, TakeoffPart.SCHEDULE),
        lambda *a: read_takeoff_part(*a, "inputs"),
    ):
        with pytest.raises(Missing):
            read(database, other, UUID(takeoff["id"]))


def test_a_different_option_is_a_different_result(database, account):
    first = take_off_inline(database, account, {"survey": survey()})[0]
    second = take_off_inline(database, account, {"survey": survey(), "options": {"kerf_mm": 3, "allowances": {"c_stud": 5}}})[0]
    assert first["digest"] != second["digest"]
    assert second["options"] == {"pool": "project", "kerf_mm": 3, "allowances": {"c_stud": 5}, "offcuts": False}


def test_two_at_the_same_moment_make_two_takeoffs_of_one_result(database, account):
    made = []
    start = threading.Barrier(4)

    def ask() -> None:
        start.wait()
        made.append(take_off_inline(database, account, {"survey": survey()})[0]["id"])

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 4
    assert (counted(database, Takeoff), counted(database, Result)) == (4, 1)


def test_an_opening_outside_its_wall_is_refused_by_pointer_and_id_and_nothing_is_kept(database, account):
    sent = survey(offset_mm=3900)
    room = str(uuid4())
    sent["rooms"][0]["id"] = room
    with pytest.raises(GeometryInvalid) as refused:
        take_off_inline(database, account, {"survey": sent})
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.code) == ("#/survey/rooms/0/walls/0/openings/0/offset_mm", "opening_outside_wall")
    assert fault.ids["room_id"] == room
    assert set(fault.ids) == {"room_id", "wall_id", "opening_id"}
    assert (counted(database, Takeoff), counted(database, Result), counted(database, ResultPart)) == (0, 0, 0)


@pytest.mark.parametrize(
    ("changes", "member"),
    [({"height_mm": 1900}, "height_mm"), ({"sill_mm": -100, "height_mm": 1000}, "sill_mm")],
    ids=["its head above the ceiling", "its sill below the floor"],
)
def test_the_pointer_names_the_measurement_to_look_at(sqlite_database, changes, member):
    account = create_account(sqlite_database, "Invented contractor").id
    with pytest.raises(GeometryInvalid) as refused:
        take_off_inline(sqlite_database, account, {"survey": survey(**changes)})
    assert [fault.pointer for fault in refused.value.faults] == [f"#/survey/rooms/0/walls/0/openings/0/{member}"]


def test_every_geometry_fault_is_named(sqlite_database):
    account = create_account(sqlite_database, "Invented contractor").id
    sent = survey()
    openings, wall = sent["rooms"][0]["walls"][0]["openings"], sent["rooms"][0]["walls"][1]
    openings.append({**openings[0], "offset_mm": 2000})
    wall["frame_offset_mm"] = 60
    with pytest.raises(GeometryInvalid) as refused:
        take_off_inline(sqlite_database, account, {"survey": sent})
    assert [(fault.pointer, fault.code) for fault in refused.value.faults] == [
        ("#/survey/rooms/0/walls/0/openings/1/offset_mm", "openings_overlap"),
        ("#/survey/rooms/0/walls/1/frame_offset_mm", "offset_out_of_reach"),
    ]


def test_faults_of_shape_are_all_named_by_pointer(sqlite_database):
    account = create_account(sqlite_database, "Invented contractor").id
    sent = survey(width_mm=0, colour="white")
    sent["rooms"][0]["walls"][1] |= {"length_mm": "3000", "id": "x"}
    same = str(uuid4())
    sent["rooms"].append({"id": same, "ceiling_height_mm": 2400, "walls": [{"id": same, "length_mm": 1000}]})
    with pytest.raises(Invalid) as refused:
        take_off_inline(sqlite_database, account, {"survey": sent})
    assert {fault.pointer for fault in refused.value.faults} == {
        "#/survey/rooms/0/walls/0/openings/0/width_mm",
        "#/survey/rooms/0/walls/0/openings/0/colour",
        "#/survey/rooms/0/walls/1/length_mm",
        "#/survey/rooms/0/walls/1/id",
        "#/survey/rooms/1/walls/0/id",
    }


def test_parameters_that_cannot_go_together_and_ids_of_nothing_are_named_by_pointer(sqlite_database):
    account = create_account(sqlite_database, "Invented contractor").id
    asked = {
        "survey": survey(),
        "specification": {"frame_offset_mm": 60, "components": {"stud": "bracket"}},
        "specification_id": str(uuid4()),
        "catalogue_id": str(uuid4()),
    }
    with pytest.raises(Invalid) as refused:
        take_off_inline(sqlite_database, account, asked)
    assert {fault.pointer for fault in refused.value.faults} == {
        "#/specification_id", "#/catalogue_id", "#/specification/frame_offset_mm", "#/specification/components/stud",
    }  # fmt: skip


def project(database, account, **members):
    return create_resource(database, account, ResourceKind.PROJECT, {"name": "Invented house", **members})


def test_a_project_is_taken_off_as_it_stands_with_its_own_ids(database, account):
    stored = project(database, account, survey=survey())
    read = read_survey(database, account, stored.id)
    takeoff = take_off_project(database, account, stored.id, {"survey_version": read.version}, EVERYTHING)[0]
    assert (takeoff["inputs"]["project_id"], takeoff["inputs"]["survey_version"]) == (str(stored.id), read.version)
    walls = [str(wall["id"]) for room in read.document["rooms"] for wall in room["walls"]]
    assert [layout["wall_id"] for layout in takeoff["layouts"]["layouts"]] == walls
    assert takeoff["digest"] == take_off_inline(database, account, {"survey": survey()})[0]["digest"]


def test_a_survey_that_has_moved_on_is_a_conflict(database, account):
    stored = project(database, account, survey=survey())
    meant = read_survey(database, account, stored.id).version
    now = replace_survey(database, account, stored.id, survey(sill_mm=950), Precondition.match([meant])).version
    with pytest.raises(Conflict) as moved:
        take_off_project(database, account, stored.id, {"survey_version": meant})
    assert moved.value.extra["survey_version"] == now
    assert take_off_project(database, account, stored.id, {"survey_version": now})[0]["inputs"]["survey_version"] == now


def test_a_takeoff_does_not_move_with_its_survey(database, account):
    stored = project(database, account, survey=survey())
    takeoff = take_off_project(database, account, stored.id, {}, EVERYTHING)[0]
    replace_survey(database, account, stored.id, {"rooms": []}, Precondition.any())
    assert read_takeoff(database, account, UUID(takeoff["id"]), EVERYTHING) == takeoff


def test_a_projects_geometry_faults_point_into_its_survey(database, account):
    stored = project(database, account, survey=survey(offset_mm=3900))
    wall = read_survey(database, account, stored.id).document["rooms"][0]["walls"][0]
    with pytest.raises(GeometryInvalid) as refused:
        take_off_project(database, account, stored.id, {})
    (fault,) = refused.value.faults
    assert fault.pointer == "#/rooms/0/walls/0/openings/0/offset_mm"
    assert (fault.ids["wall_id"], fault.ids["opening_id"]) == (str(wall["id"]), str(wall["openings"][0]["id"]))


def test_a_project_that_is_not_there_or_no_longer_there(database, account):
    with pytest.raises(Missing):
        take_off_project(database, account, uuid4(), {})
    stored = project(database, account)
    with pytest.raises(Missing):
        take_off_project(database, create_account(database, "Another invented contractor").id, stored.id, {})
    delete_resource(database, account, ResourceKind.PROJECT, stored.id, Precondition.any())
    with pytest.raises(Gone):
        take_off_project(database, account, stored.id, {})


def test_specification_and_catalogue_of_the_project_apply_unless_the_request_says_others(database, account):
    narrow = create_resource(database, account, ResourceKind.SPECIFICATION, {"name": "400 centres", "stud_centres_mm": 400})
    own = create_resource(database, account, ResourceKind.CATALOGUE, {"name": "Invented range", "currency": "GBP"})
    for component, price in (("c_stud", "4.75"), ("u_channel", "3.10")):
        item = {"sku": component, "component": component, "length_mm": 3000, "price": {"amount": price, "currency": "GBP"}}
        create_resource(database, account, ResourceKind.CATALOGUE_ITEM, item, parent_id=own.id)
    stored = project(database, account, survey=survey(), specification_id=str(narrow.id), catalogue_id=str(own.id))

    takeoff = take_off_project(database, account, stored.id, {}, [TakeoffPart.SCHEDULE])[0]
    assert takeoff["inputs"]["specification_id"] == str(narrow.id)
    assert takeoff["inputs"]["catalogue_id"] == str(own.id)
    studs = takeoff["schedule"]["lines"][0]
    (entry,) = studs["order"]
    assert (entry["sku"], entry["unit_price"]) == ("c_stud", {"amount": "4.75", "currency": "GBP"})
    pence = 475 * entry["quantity"]
    assert studs["line_price"] == {"amount": f"{pence // 100}.{pence % 100:02}", "currency": "GBP"}
    assert {found["code"] for found in takeoff["findings"]} >= {"not_in_range"}

    without = take_off_project(database, account, stored.id, {"specification_id": None, "catalogue_id": None})[0]
    assert without["inputs"]["specification_id"] is without["inputs"]["catalogue_id"] is None
    assert without["digest"] == take_off_inline(database, account, {"survey": survey()})[0]["digest"]

    changed = take_off_project(database, account, stored.id, {"specification": {"stud_clearance_mm": 5}})[0]
    used = read_takeoff_part(database, account, UUID(changed["id"]), "inputs")["parameters"]
    assert (used["stud_centres_mm"], used["stud_clearance_mm"], used["frame_offset_mm"]) == (400, 5, 100)


def test_another_item_is_a_new_version_of_the_catalogue_and_a_new_result(database, account):
    own = create_resource(database, account, ResourceKind.CATALOGUE, {"name": "Invented range"})
    item = {"sku": "S", "component": "c_stud", "length_mm": 3000}
    asked = {"survey": survey(), "catalogue_id": str(own.id)}
    create_resource(database, account, ResourceKind.CATALOGUE_ITEM, item, parent_id=own.id)
    before = take_off_inline(database, account, asked)[0]
    create_resource(database, account, ResourceKind.CATALOGUE_ITEM, {**item, "sku": "T", "length_mm": 3600}, parent_id=own.id)
    after = take_off_inline(database, account, asked)[0]
    assert after["inputs"]["catalogue_version"] > before["inputs"]["catalogue_version"]
    assert after["digest"] != before["digest"]


def test_parts_are_read_whole_or_narrowed(database, account):
    takeoff = take_off_inline(database, account, {"survey": survey()}, EVERYTHING)[0]
    id = UUID(takeoff["id"])
    for part in TakeoffPart:
        assert read_takeoff_part(database, account, id, part) == takeoff[part]
    wall = UUID(takeoff["layouts"]["layouts"][1]["wall_id"])
    assert read_takeoff_part(database, account, id, TakeoffPart.LAYOUTS, wall_id=wall) == {
        "layouts": [takeoff["layouts"]["layouts"][1]]
    }
    lines = read_takeoff_part(database, account, id, TakeoffPart.SCHEDULE, component=Component.BRACKET)["lines"]
    assert [line["component"] for line in lines] == ["bracket"]
    assert read_takeoff_part(database, account, id, TakeoffPart.CUT_LISTS, room_id=uuid4())["bars"] == []


def test_the_inputs_are_the_survey_parameters_and_items_as_used(database, account):
    takeoff = take_off_inline(database, account, {"survey": survey()}, [TakeoffPart.LAYOUTS])[0]
    used = read_takeoff_part(database, account, UUID(takeoff["id"]), "inputs")
    (room,) = used["survey"]["rooms"]
    assert room["id"] == takeoff["layouts"]["layouts"][0]["room_id"]
    # the room's height and all defaults are filled in
    assert (room["walls"][1]["height_left_mm"], room["walls"][1]["corner_deg"], room["walls"][1]["lined"]) == (2700, 90, True)
    assert {item["component"] for item in used["items"]} == set(Component)
    assert all(item["price"] is None for item in used["items"])
