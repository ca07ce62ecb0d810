"""A developer with a scheme of dwellings and a client generated from the document, used as it came out of the generator."""

import json
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import httpx
import pytest


@pytest.fixture
def session(caller: Callable[..., httpx.Client], generated: ModuleType) -> Iterator[Any]:
    """A client of the generated ones; it answers to the document like every other."""
    plain = caller("Invented Developments")
    made = generated.AuthenticatedClient(
        base_url=str(plain.base_url),
        token=plain.headers["Authorization"].removeprefix("Bearer "),
        raise_on_unexpected_status=True,
        httpx_args={"event_hooks": plain.event_hooks},
    )
    with made as client:
        yield client


def test_a_scheme_is_loaded_taken_off_and_added_up_with_the_generated_client(
    session: Any, generated: ModuleType, house: dict[str, Any]
) -> None:
    from generated_takeoff_client import models
    from generated_takeoff_client.api.catalogue_items import create_catalogue_item, list_catalogue_items
    from generated_takeoff_client.api.catalogues import create_catalogue
    from generated_takeoff_client.api.projects import create_project, list_projects
    from generated_takeoff_client.api.specifications import create_specification, get_specification, patch_specification
    from generated_takeoff_client.api.takeoffs import create_project_takeoff, get_cut_lists, get_layouts, get_schedule

    specification = create_specification.sync(client=session, body=models.SpecificationCreate(name="Scheme", stud_centres_mm=400))
    assert isinstance(specification, models.Specification)
    assert (specification.stud_centres_mm, specification.board_thickness_mm) == (400, 12.5)
    detailed = get_specification.sync_detailed(specification.id, client=session)
    patched = patch_specification.sync(
        specification.id,
        client=session,
        body=models.SpecificationPatch(stud_centres_mm=600),
        if_match=detailed.headers["ETag"],
    )
    assert isinstance(patched, models.Specification)
    assert patched.stud_centres_mm == 600

    catalogue = create_catalogue.sync(client=session, body=models.CatalogueCreate(name="Scheme prices"))
    assert isinstance(catalogue, models.Catalogue)
    for length, price in ((2400, "3.50"), (3000, "4.35"), (3600, "5.20")):
        made = create_catalogue_item.sync(
            catalogue.id,
            client=session,
            body=models.ItemCreate(
                sku=f"STUD-{length}",
                component=models.ItemCreateComponent.C_STUD,
                length_mm=length,
                price=models.MoneyGiven(amount=price, currency=models.MoneyGivenCurrency.GBP),
            ),
        )
        assert isinstance(made, models.Item)
    items = list_catalogue_items.sync(catalogue.id, client=session)
    assert isinstance(items, models.ItemPage)
    assert [item.sku for item in items.items] == ["STUD-2400", "STUD-3000", "STUD-3600"]

    for number in range(20):
        house["rooms"][0]["walls"][0]["length_mm"] = 900 + 10 * number
        body = models.ProjectCreate.from_dict(
            {
                "reference": f"PLOT-{number:02d}",
                "specification_id": str(specification.id),
                "catalogue_id": str(catalogue.id),
                "survey": house,
            }
        )
        assert isinstance(create_project.sync(client=session, body=body), models.Project)

    projects = []
    cursor: Any = generated.types.UNSET
    while cursor is not None:
        page = list_projects.sync(client=session, limit=8, cursor=cursor)
        assert isinstance(page, models.ProjectPage)
        projects += page.items
        cursor = page.next_cursor
    assert [project.reference for project in projects] == [f"PLOT-{number:02d}" for number in range(20)]

    digests, metres = set(), 0.0
    for project in projects:
        takeoff = create_project_takeoff.sync(project.id, client=session, body=models.ProjectTakeoffCreate())
        assert isinstance(takeoff, models.Takeoff)
        assert takeoff.inputs.specification_id == specification.id
        digests.add(takeoff.digest)
        schedule = get_schedule.sync(takeoff.id, client=session)
        assert isinstance(schedule, models.Schedule)
        (studs,) = (line for line in schedule.lines if line.component == "c_stud")
        assert isinstance(studs.line_price, models.Money)
        metres += studs.net_quantity
    assert len(digests) == 20
    assert metres > 20 * 10, "each dwelling has more than ten metres of studs"

    cut_lists = get_cut_lists.sync(takeoff.id, client=session)
    layouts = get_layouts.sync(takeoff.id, client=session)
    assert isinstance(cut_lists, models.CutLists) and isinstance(layouts, models.Layouts)
    cuts = {cut.member_id for entry in cut_lists.bars for bar in entry.bars for cut in bar.cuts}
    unplaced = {piece.member_id for entry in cut_lists.bars for piece in entry.unplaced}
    members = {member.id for layout in layouts.layouts for member in layout.members}
    assert cuts | unplaced == members and not cuts & unplaced


def test_a_refusal_reaches_the_generated_client_as_a_typed_problem(session: Any, generated: ModuleType) -> None:
    from generated_takeoff_client import models
    from generated_takeoff_client.api.projects import create_project
    from generated_takeoff_client.api.rooms import create_room

    project = create_project.sync(client=session, body=models.ProjectCreate(reference="PLOT-1"))
    assert isinstance(project, models.Project)
    taken = create_project.sync(client=session, body=models.ProjectCreate(reference="PLOT-1"))
    assert isinstance(taken, models.ProblemDetails)
    assert (taken.status, taken.type_, taken.additional_properties["id"]) == (409, "/docs#conflict", str(project.id))
    wrong = create_room.sync(project.id, client=session, body=models.RoomCreate(ceiling_height_mm=0))
    assert isinstance(wrong, models.ProblemDetails)
    assert [(fault.pointer, fault.code) for fault in wrong.errors] == [("#/ceiling_height_mm", "out_of_range")]


def test_the_document_comes_with_the_service_and_is_the_kept_one(base_url: str) -> None:
    kept = json.loads((Path(__file__).parents[2] / "openapi" / "openapi.json").read_text())
    answer = httpx.get(f"{base_url}/v1/openapi.json")
    assert answer.json() == kept
    assert httpx.get(f"{base_url}/v1/openapi.json", headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304
    assert httpx.get(f"{base_url}/docs").headers["Content-Type"].startswith("text/html")


def test_the_counters_and_the_apps_work_is_done_with_the_generated_client_alone(
    session: Any, generated: ModuleType, house: dict[str, Any]
) -> None:
    from generated_takeoff_client import models
    from generated_takeoff_client.api.openings import delete_opening, list_openings
    from generated_takeoff_client.api.projects import put_project
    from generated_takeoff_client.api.rooms import get_room, list_rooms, patch_room, put_room
    from generated_takeoff_client.api.surveys import get_survey, put_survey
    from generated_takeoff_client.api.takeoffs import compare_takeoffs, create_project_takeoff, create_takeoff, get_inputs
    from generated_takeoff_client.api.walls import list_walls

    survey = models.Survey.from_dict(house)
    asked = models.TakeoffCreate(survey=survey)
    sold = create_takeoff.sync(client=session, body=asked, include="schedule,cut_lists", idempotency_key="till-3-0099")
    again = create_takeoff.sync(client=session, body=asked, include="schedule,cut_lists", idempotency_key="till-3-0099")
    assert isinstance(sold, models.Takeoff) and isinstance(again, models.Takeoff)
    assert sold.to_dict() == again.to_dict()
    assert isinstance(sold.schedule, models.Schedule) and sold.schedule.lines

    project, room = uuid.uuid4(), uuid.uuid4()
    made = put_project.sync_detailed(project, client=session, body=models.ProjectPut(reference="SITE-1", survey=survey))
    assert (made.status_code, made.headers["Location"]) == (201, f"/v1/projects/{project}")
    attic = models.RoomPut(project_id=project, name="Attic", ceiling_height_mm=2300)
    assert put_room.sync_detailed(room, client=session, body=attic).status_code == 201
    assert put_room.sync_detailed(room, client=session, body=attic).status_code == 200, "sent again"
    seen = get_room.sync_detailed(room, client=session)
    first = patch_room.sync(room, client=session, body=models.RoomPatch(name="Loft"), if_match=seen.headers["ETag"])
    late = patch_room.sync(room, client=session, body=models.RoomPatch(storey="second"), if_match=seen.headers["ETag"])
    assert isinstance(first, models.Room) and first.name == "Loft"
    assert isinstance(late, models.ProblemDetails) and late.type_ == "/docs#precondition-failed"

    before = create_project_takeoff.sync(project, client=session, body=models.ProjectTakeoffCreate())
    assert isinstance(before, models.Takeoff)
    rooms = list_rooms.sync(project, client=session)
    assert isinstance(rooms, models.RoomPage)
    back = next(found for found in rooms.items if found.name == "Back room")
    walls = list_walls.sync(back.id, client=session)
    assert isinstance(walls, models.WallPage)
    openings = list_openings.sync(walls.items[0].id, client=session)
    assert isinstance(openings, models.OpeningPage)
    assert delete_opening.sync_detailed(openings.items[0].id, client=session, if_match="*").status_code == 204
    after = create_project_takeoff.sync(project, client=session, body=models.ProjectTakeoffCreate())
    assert isinstance(after, models.Takeoff)
    compared = compare_takeoffs.sync(before.id, after.id, client=session)
    assert isinstance(compared, models.Comparison) and not compared.equal
    assert compared.totals.lined_area_m2.difference == 1.62, "the window of 1.2 × 1.35"
    (changed,) = (wall for wall in compared.walls.changed if wall.openings.removed)
    assert (changed.wall_id, changed.openings.removed[0].opening_id) == (walls.items[0].id, openings.items[0].id)

    inputs = get_inputs.sync(after.id, client=session)
    assert isinstance(inputs, models.InputsUsed) and len(inputs.survey.rooms) == 3
    whole = get_survey.sync_detailed(project, client=session)
    sent_back = models.SurveyPut.from_dict(json.loads(whole.content))
    same = put_survey.sync_detailed(project, client=session, body=sent_back, if_match=whole.headers["ETag"])
    assert (same.status_code, same.headers["ETag"]) == (200, whole.headers["ETag"]), "what was read can be sent back as it is"
