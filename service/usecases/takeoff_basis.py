"""Everything that a takeoff is made from, read in one go: survey, specification, catalogue, options."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.engine.builtin_range import builtin_range
from service.engine.heat_inputs import HeatInputs
from service.engine.inputs import Item, TakeoffInput
from service.engine.parameters import Parameters
from service.errors import Conflict, Fault, Gone, Invalid, Missing
from service.store import rows
from service.store.models import Catalogue, CatalogueItem, Project, Root, Specification
from service.store.rules import as_id
from service.usecases.build_up_layers import resolved_build_up
from service.usecases.checking import read_member
from service.usecases.climate_members import engine_climate, read_climate
from service.usecases.engine_input import Surveyed, engine_input, read_rooms
from service.usecases.members import values_of
from service.usecases.offcuts_offered import Offered, offered
from service.usecases.read_survey import survey_of
from service.usecases.specification_members import given_specification, read_specification
from service.vocabulary import ROLE_COMPONENTS, Component, Currency, ResourceKind

Json = Mapping[str, Any]

BAR_COMPONENTS = frozenset(ROLE_COMPONENTS.values())
"""What members can be cut from."""


@dataclass(frozen=True, slots=True)
class Basis:
    """`used`: ids and versions of what was read, null where nothing stored was used; as a takeoff shows them."""

    surveyed: Surveyed
    inputs: TakeoffInput
    used: dict[str, Any]
    offered: Offered

    @property
    def ids(self) -> dict[str, str]:
        """Place → id, of all that a result names by its place."""
        return {**self.surveyed.ids, **self.offered.ids}


def read_basis(session: Session, account_id: UUID, takeoff_id: UUID, request: Json, project_id: UUID | None) -> Basis:
    """What `request` asks to be taken off: its own survey, or that of the project as it stands.

    Without a specification the project's applies, else the default one; without a catalogue the project's, else the built-in
    range. A null says none in so many words.

    Raises:
        Missing, Gone: the project.
        Conflict: the survey has moved on from `survey_version`; an offcut that is asked for is held by another takeoff.
        Invalid: every fault of the survey and of the parameters, ids that stand for nothing.
    """
    project: Any = None
    if project_id is not None:
        project = rows.live(session, account_id, ResourceKind.PROJECT, project_id)
        _refuse_moved_on(project, request.get("survey_version"))
    survey = request["survey"] if project is None else survey_of(session, project).document
    surveyed = read_rooms(survey, takeoff_id, "#/survey" if project is None else "#")

    faults: list[Fault] = []
    specification = _named(session, account_id, ResourceKind.SPECIFICATION, request, project, faults)
    catalogue = _named(session, account_id, ResourceKind.CATALOGUE, request, project, faults)
    values = _specified(specification, request.get("specification") or {}, faults)
    options = request.get("options") or {}
    offcuts = offered(session, account_id, options.get("offcuts") or False, faults)
    heat = _heat(session, account_id, values, request, project, faults)
    if faults:
        raise Invalid(faults)
    inputs = engine_input(
        surveyed,
        values["parameters"],
        values["components"],
        builtin_range(Parameters(**values["parameters"])) if catalogue is None else _items(session, catalogue),
        None if catalogue is None else Currency(catalogue.currency),
        options,
        offcuts.items,
        heat,
    )
    used = {
        **_used("project_id", "survey_version", project),
        **_used("specification_id", "specification_version", specification),
        **_used("catalogue_id", "catalogue_version", catalogue),
    }
    return Basis(surveyed, inputs, used, offcuts)


def _used(id_member: str, version_member: str, root: Root | None) -> dict[str, Any]:
    """A root's change counter is the version of all that is beneath it."""
    return {id_member: None if root is None else str(root.id), version_member: None if root is None else root.change_counter}


def _refuse_moved_on(project: Project, meant: int | None) -> None:
    now = project.change_counter
    if meant is not None and meant != now:
        raise Conflict(f"The survey has moved on: version {meant} was meant, it is at version {now} now.", survey_version=now)


def _named(
    session: Session, account_id: UUID, kind: ResourceKind, request: Json, project: Project | None, faults: list[Fault]
) -> Any:
    """The specification or catalogue that the request names, or else the project."""
    member = f"{kind}_id"
    id = as_id(request[member]) if member in request else getattr(project, member, None)
    if id is None:
        return None
    try:
        return rows.live(session, account_id, kind, id)
    except (Missing, Gone) as none:
        faults.append(Fault(f"#/{member}", none.detail, "unknown_id"))
        return None


def _specified(specification: Specification | None, changes: Json, faults: list[Fault]) -> dict[str, Any]:
    """The stored specification with the request's changes, checked as a whole."""
    stored = {} if specification is None else given_specification(values_of(specification))
    components = {**stored.get("components", {}), **(changes.get("components") or {})}
    values = read_specification({**stored, **changes, "components": components}, "#/specification", faults)
    for role, component in values["components"].items():
        if component is not None and component not in BAR_COMPONENTS:
            names = " or ".join(sorted(BAR_COMPONENTS))
            faults.append(Fault(f"#/specification/components/{role}", f"Is cut from bars: must be {names}.", "not_in_list"))
    return values


def _heat(
    session: Session, account_id: UUID, values: Json, request: Json, project: Project | None, faults: list[Fault]
) -> HeatInputs:
    """Build-up and target from the specification, climate and age from the request or else the project; a null says none."""
    build_up = None
    if values["build_up"] is not None and not faults:
        build_up = resolved_build_up(session, account_id, values["build_up"], "#/specification/build_up", faults)
    if "climate" in request:
        climate = read_climate(request["climate"], "#/climate", faults)
    else:
        climate = None if project is None else project.climate
    if "year_built" in request:
        year_built = read_member(request, "year_built", Project.fields()["year_built"].info, "#", faults)
    else:
        year_built = None if project is None else project.year_built
    return HeatInputs(
        build_up=build_up,
        target_u_value_w_m2k=values["target_u_value_w_m2k"],
        critical_temperature_factor=values["critical_temperature_factor"],
        climate=None if climate is None or faults else engine_climate(climate),
        humidity_class=None if climate is None else climate.get("humidity_class"),
        year_built=year_built,
    )


def _items(session: Session, catalogue: Catalogue) -> list[Item]:
    query = select(CatalogueItem).where(CatalogueItem.catalogue_id == catalogue.id, CatalogueItem.deleted_at.is_(None))
    return [
        Item(
            component=Component(row.component),
            sku=row.sku,
            description=row.description,
            length_mm=row.length_mm,
            width_mm=row.width_mm,
            thickness_mm=row.thickness_mm,
            pack_size=row.pack_size,
            price_minor=row.price_minor,
            mass_kg=row.mass_kg,
            on_hand=row.on_hand,
            yield_per_piece=row.yield_per_piece,
        )
        for row in session.scalars(query.order_by(CatalogueItem.id))
    ]
