"""Takeoffs: asked for with an inline survey or of a project, read whole or part by part. They never change."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any
from uuid import UUID

from flask import Response, current_app, request

from service.api import takeoff_examples as examples
from service.api.answers import chosen_media, tagged, versioned
from service.api.auth import account_id, database
from service.api.base import JSON, SVG, Blueprint, TextForm
from service.api.comparison_example import COMPARISON
from service.api.metrics import Metrics
from service.api.paging import page_answer
from service.api.schemas.comparisons import Comparison
from service.api.schemas.cut_lists import CutLists
from service.api.schemas.inputs import InputsUsed
from service.api.schemas.layouts import Layout, Layouts
from service.api.schemas.queries import FormatQuery, PageQuery, PartQuery, PlaceQuery, TakeoffQuery
from service.api.schemas.schedules import Schedule
from service.api.schemas.takeoffs import ProjectTakeoffCreate, Takeoff, TakeoffCreate, TakeoffPage, TakeoffSummary
from service.api.schemas.thermal import Cautions, Thermal
from service.api.thermal_examples import CAUTIONS, THERMAL
from service.errors import GeometryInvalid, Missing
from service.usecases.compare_takeoffs import compare_takeoffs
from service.usecases.draw_wall import draw_wall
from service.usecases.list_resources import list_resources
from service.usecases.read_resource import read_resource
from service.usecases.read_takeoff import read_takeoff
from service.usecases.read_takeoff_part import read_takeoff_part
from service.usecases.records import Record
from service.usecases.take_off_inline import take_off_inline
from service.usecases.take_off_project import take_off_project
from service.vocabulary import KeyScope, ResourceKind, TakeoffPart

takeoffs = Blueprint("Takeoffs", "A survey in; layout, material schedule and cut lists out.")

OF_PROJECT = "/v1/projects/<uuid:project_id>/takeoffs"
ALL = "/v1/takeoffs"
ONE = "/v1/takeoffs/<uuid:takeoff_id>"
VERSION = 1
"""A takeoff is made once and never changes."""

Query = Mapping[str, Any]


@takeoffs.operation(
    "POST",
    ALL,
    "createTakeoff",
    scope=KeyScope.TAKEOFF,
    query=TakeoffQuery,
    body=TakeoffCreate,
    body_example=examples.INLINE_SENT,
    answer=Takeoff,
    example=examples.INLINE_TAKEOFF,
    status=201,
    etag=True,
)
def take_off_here(query: Query, body: Query) -> Response:
    """Take off the survey in this request

    Nothing is stored but the takeoff. Without a specification the default one applies, without a catalogue the built-in range of
    unbranded components in usual sizes, which has no prices. A survey that cannot be built as measured is refused (422), one
    fault for each place. Rooms and walls without ids get ids made from the takeoff's.
    """
    return _made(partial(take_off_inline, database(), account_id(), body, query.get("include", ())))


@takeoffs.operation(
    "POST",
    OF_PROJECT,
    "createProjectTakeoff",
    scope=KeyScope.TAKEOFF,
    query=TakeoffQuery,
    body=ProjectTakeoffCreate,
    body_example=examples.PROJECT_SENT,
    answer=Takeoff,
    example=examples.TAKEOFF,
    status=201,
    etag=True,
    problems=(409, 410),
)
def take_off_there(query: Query, body: Query, project_id: UUID) -> Response:
    """Take off a project's survey as it stands

    With the project's specification and catalogue, unless the body names others. `survey_version` refuses (409) a survey that has
    moved on. Faults of geometry are listed with pointers into the survey's document and with ids.
    """
    return _made(partial(take_off_project, database(), account_id(), project_id, body, query.get("include", ())))


@takeoffs.operation(
    "GET",
    ALL,
    "listTakeoffs",
    scope=KeyScope.READ,
    query=PageQuery,
    answer=TakeoffPage,
    example={"items": [examples.SUMMARY], "next_cursor": None},
    paged=True,
)
def list_all(query: Query) -> Response:
    """List all takeoffs of the account"""
    return page_answer(query, partial(list_resources, database(), account_id(), ResourceKind.TAKEOFF), _summary)


@takeoffs.operation(
    "GET",
    OF_PROJECT,
    "listProjectTakeoffs",
    scope=KeyScope.READ,
    query=PageQuery,
    answer=TakeoffPage,
    example={"items": [examples.SUMMARY], "next_cursor": None},
    paged=True,
    problems=(410,),
)
def list_of_project(query: Query, project_id: UUID) -> Response:
    """List the takeoffs of a project"""
    fetch = partial(list_resources, database(), account_id(), ResourceKind.TAKEOFF, parent_id=project_id)
    return page_answer(query, fetch, _summary)


@takeoffs.operation(
    "GET",
    ONE,
    "getTakeoff",
    scope=KeyScope.READ,
    query=TakeoffQuery,
    answer=Takeoff,
    example=examples.TAKEOFF,
    etag=True,
)
def get_takeoff(query: Query, takeoff_id: UUID) -> Response:
    """Read a takeoff

    `include` embeds parts.
    """
    return _read(takeoff_id, lambda: read_takeoff(database(), account_id(), takeoff_id, query.get("include", ())))


@takeoffs.operation(
    "GET",
    f"{ONE}/schedule",
    "getSchedule",
    scope=KeyScope.READ,
    query=PartQuery,
    answer=Schedule,
    example=examples.SCHEDULE,
    etag=True,
)
def get_schedule(query: Query, takeoff_id: UUID) -> Response:
    """Read the material schedule

    One line a component. Filters leave things out; they never change a figure.
    """
    return _part(takeoff_id, TakeoffPart.SCHEDULE, query)


@takeoffs.operation(
    "GET",
    f"{ONE}/cut-lists",
    "getCutLists",
    scope=KeyScope.READ,
    query=PartQuery,
    answer=CutLists,
    example=examples.CUT_LISTS,
    etag=True,
)
def get_cut_lists(query: Query, takeoff_id: UUID) -> Response:
    """Read the cut lists

    Every member is exactly one cut, or stands in `unplaced`. Filters leave out bars that have nothing to do with what is asked.
    """
    return _part(takeoff_id, TakeoffPart.CUT_LISTS, query)


@takeoffs.operation(
    "GET",
    f"{ONE}/layouts",
    "getLayouts",
    scope=KeyScope.READ,
    query=PartQuery,
    answer=Layouts,
    example=examples.LAYOUTS,
    etag=True,
)
def get_layouts(query: Query, takeoff_id: UUID) -> Response:
    """Read the layouts

    One for each lined wall that has a frame, in survey order.
    """
    return _part(takeoff_id, TakeoffPart.LAYOUTS, query)


@takeoffs.operation(
    "GET",
    f"{ONE}/layouts/<uuid:wall_id>",
    "getLayout",
    scope=KeyScope.READ,
    query=FormatQuery,
    answer=Layout,
    example=examples.LAYOUT,
    etag=True,
    problems=(406,),
    texts=(TextForm(SVG, "The drawing, as SVG.", "<svg …></svg>"),),
)
def get_layout(query: Query, takeoff_id: UUID, wall_id: UUID) -> Response:
    """Read the layout of one wall, or its drawing

    As JSON, or as a drawing (SVG) where `Accept` prefers that or `format` says so. A request that accepts neither gets 406.
    """
    media = chosen_media(query.get("format"), {"json": JSON, "svg": SVG})
    # Whether there is such a wall comes before whether the caller has it already.
    found = read_takeoff_part(database(), account_id(), takeoff_id, TakeoffPart.LAYOUTS, wall_id=wall_id)["layouts"]
    if not found:
        raise Missing("This takeoff has no layout of such a wall.")
    if media == SVG:
        answer = tagged(f"{VERSION}-svg", lambda: draw_wall(database(), account_id(), takeoff_id, wall_id), SVG)
    else:
        answer = versioned(VERSION, lambda: found[0])
    answer.headers["Vary"] = "Accept"
    return answer


@takeoffs.operation(
    "GET",
    f"{ONE}/thermal",
    "getThermal",
    scope=KeyScope.READ,
    query=PlaceQuery,
    answer=Thermal,
    example=THERMAL,
    etag=True,
)
def get_thermal(query: Query, takeoff_id: UUID) -> Response:
    """Read heat and moisture

    Walls that are to be lined with their layers, transmittance before and after, what is missing to the target, heat losses by
    room; moisture with and without the vapour control layer where the takeoff had a climate; the working of each number, and
    what the methods leave out. Filters leave things out; sums stay those of whole rooms and of the whole.
    """
    return _part(takeoff_id, TakeoffPart.THERMAL, query)


@takeoffs.operation(
    "GET",
    f"{ONE}/cautions",
    "getCautions",
    scope=KeyScope.READ,
    query=PlaceQuery,
    answer=Cautions,
    example=CAUTIONS,
    etag=True,
)
def get_cautions(query: Query, takeoff_id: UUID) -> Response:
    """Read the cautions

    What to think of before the work, chosen by what the job holds, with who is competent and where it comes from. None of them
    says that a job is safe or in order: local rules and licensed practice decide that.
    """
    return _part(takeoff_id, TakeoffPart.CAUTIONS, query)


@takeoffs.operation(
    "GET",
    f"{ONE}/inputs",
    "getInputs",
    scope=KeyScope.READ,
    answer=InputsUsed,
    example=examples.INPUTS,
    etag=True,
)
def get_inputs(takeoff_id: UUID) -> Response:
    """Read what the takeoff was made from

    Survey, parameters and items as they were used, every default filled in.
    """
    return _read(takeoff_id, lambda: read_takeoff_part(database(), account_id(), takeoff_id, "inputs"))


@takeoffs.operation(
    "GET",
    f"{ONE}/comparison/<uuid:other_id>",
    "compareTakeoffs",
    scope=KeyScope.READ,
    answer=Comparison,
    example=COMPARISON,
    etag=True,
)
def get_comparison(takeoff_id: UUID, other_id: UUID) -> Response:
    """Compare a takeoff with another

    What the other (`after`) needs more and less of than this one (`before`): schedule lines by component, orders by article
    number and size, walls by id. A wall that had no id in its survey is known by its place. A difference is after less before;
    only what differs is listed, totals aside.
    """
    if "If-None-Match" in request.headers:
        for id in (takeoff_id, other_id):
            read_resource(database(), account_id(), ResourceKind.TAKEOFF, id)
    return versioned(VERSION, lambda: compare_takeoffs(database(), account_id(), takeoff_id, other_id))


def _made(take_off: Callable[[], tuple[dict[str, Any], float | None]]) -> Response:
    metrics: Metrics = current_app.extensions["metrics"]
    try:
        document, computing_seconds = take_off()
    except GeometryInvalid:
        metrics.refused_takeoff()
        raise
    metrics.took_off(computing_seconds)
    return versioned(VERSION, lambda: document, 201, {"Location": f"{ALL}/{document['id']}"})


def _part(takeoff_id: UUID, part: TakeoffPart, query: Query) -> Response:
    return _read(takeoff_id, lambda: read_takeoff_part(database(), account_id(), takeoff_id, part, **query))


def _read(takeoff_id: UUID, document: Callable[[], Any]) -> Response:
    if "If-None-Match" in request.headers:  # what another account has is not found, not "not modified"
        read_resource(database(), account_id(), ResourceKind.TAKEOFF, takeoff_id)
    return versioned(VERSION, document)


def _summary(record: Record) -> dict[str, Any]:
    document = record.document()
    return {name: document[name] for name in TakeoffSummary._declared_fields}
