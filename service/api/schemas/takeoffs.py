"""Asking for a takeoff, and the takeoff itself. Its parts have files of their own."""

from dataclasses import replace
from functools import partial
from typing import Any

import marshmallow as ma

from service.api.fields import AllOrSome, Between, Id, Int, ListOf, Num, Part, Str, Time, Word
from service.api.schemas.build_ups import CLIMATE, YEAR_BUILT
from service.api.schemas.cut_lists import CutLists
from service.api.schemas.family import ABSENT, Answer, Request, answered, page, sometimes
from service.api.schemas.findings import Finding
from service.api.schemas.layouts import Layouts
from service.api.schemas.money import Money
from service.api.schemas.schedules import Schedule
from service.api.schemas.specifications import SpecificationChanges
from service.api.schemas.survey import Survey
from service.api.schemas.thermal import Cautions, Thermal
from service.vocabulary import Component, Pool


def _allowances(base: type[ma.Schema], **kwargs: Any) -> dict[str, Any]:
    text = "Percent of the net quantity to add for breakage and spoilt pieces."
    return {component.value: Num(validate=Between(0, 100), metadata={"description": text}, **kwargs) for component in Component}


Allowances = type("Allowances", (Request,), {"__doc__": "Component → percent; none unless set.", **_allowances(Request)})
AllowancesRead = type(
    "AllowancesRead", (Answer,), {"__doc__": "Component → percent, where set.", **_allowances(Answer, dump_only=True)}
)


class Options(Request):
    """How the takeoff is made."""

    pool = Word(Pool, metadata={"description": "Whose pieces may share a bar.", "default": "project"})
    kerf_mm = Int(validate=Between(0, 20), metadata={"description": "Width of a saw cut.", "default": 0})
    allowances = Part(Allowances, metadata={"description": "Allowances by component.", "default": {}})
    offcuts = AllOrSome(
        metadata={
            "description": "Which offcuts it may be cut from: none, all that are available (of each component the 200 oldest), "
            "or these. They are used before anything is ordered, and held for it only once it is confirmed.",
            "default": False,
        }
    )


class _TakeoffAsked(Request):
    specification_id = Id(allow_none=True, metadata={"description": "A lining specification; left out: see the operation."})
    specification = Part(SpecificationChanges, metadata={"description": "Parameters that differ in this takeoff."})
    catalogue_id = Id(allow_none=True, metadata={"description": "A catalogue; left out: see the operation."})
    climate = replace(CLIMATE, text=f"{CLIMATE.text} Left out: the project's.", default=ABSENT).field()
    year_built = replace(YEAR_BUILT, text=f"{YEAR_BUILT.text} Left out: the project's.", default=ABSENT).field()
    options = Part(Options, metadata={"description": "How the takeoff is made."})


class TakeoffCreate(_TakeoffAsked):
    """A survey to be taken off here and now; nothing is stored but the takeoff."""

    survey = Part(Survey, required=True, metadata={"description": "The survey."})


class ProjectTakeoffCreate(_TakeoffAsked):
    """A stored project's survey to be taken off as it stands."""

    survey_version = Int(
        validate=Between(0, 2**53),
        metadata={"description": "The survey's version that you mean; refused (409) where it has moved on."},
    )


class TakeoffInputs(Answer):
    """What was used: ids and versions of what is stored; null where it was not."""

    project_id = answered(Id, "The project; null for an inline survey.", allow_none=True)
    survey_version = answered(Int, "Version of the survey.", allow_none=True)
    specification_id = answered(Id, "The specification; null: the default one.", allow_none=True)
    specification_version = answered(Int, "Version of the specification.", allow_none=True)
    catalogue_id = answered(Id, "The catalogue; null: the built-in range.", allow_none=True)
    catalogue_version = answered(Int, "Version of the catalogue, its items included.", allow_none=True)


class OptionsUsed(Answer):
    """The options, with those left out as they were filled in."""

    pool = answered(partial(Word, Pool), "Whose pieces may share a bar.")
    kerf_mm = answered(Int, "Width of a saw cut.")
    allowances = answered(partial(Part, AllowancesRead), "Percent by component.")
    offcuts = sometimes(AllOrSome, "Which offcuts it could be cut from: none, all that were available, or these.")


class Totals(Answer):
    """The whole in a few numbers."""

    rooms = answered(Int, "Rooms in the survey.")
    lined_area_m2 = answered(Num, "Area lined, openings taken off.")
    mass_kg = answered(Num, "Mass of what is ordered, as far as items say theirs.")
    unweighed = sometimes(partial(ListOf, Str()), "Components whose mass is not known.")
    net_price = answered(
        partial(Part, Money), "What the order costs without tax; null while a line lacks a price.", allow_none=True
    )
    unpriced = answered(partial(ListOf, Str()), "Components that lack a price.")
    floor_area_lost_m2 = answered(Num, "Floor that the lining takes up.")


class TakeoffSummary(Answer):
    """A takeoff as it stands in a list: without its findings and parts."""

    id = answered(Id, "Its id.")
    status = answered(Str, "How far it is; today always succeeded.")
    digest = answered(Str, "Of all that the answer depends on, ids and names left out: equal digests, equal answers.")
    engine_version = answered(Str, "The engine that made it.")
    created_at = answered(Time, "When it was made, RFC 3339 in UTC.")
    inputs = answered(partial(Part, TakeoffInputs), "What was used.")
    options = answered(partial(Part, OptionsUsed), "How it was made.")
    totals = answered(partial(Part, Totals), "The whole in a few numbers.")


class Takeoff(TakeoffSummary):
    """A takeoff: what was asked, what it came to, what to know about it. It never changes."""

    findings = answered(partial(ListOf, Part(Finding)), "What a person should know.")
    schedule = sometimes(partial(Part, Schedule), "The material schedule, where included.")
    cut_lists = sometimes(partial(Part, CutLists), "The cut lists, where included.")
    layouts = sometimes(partial(Part, Layouts), "The layouts, where included.")
    thermal = sometimes(partial(Part, Thermal), "Heat and moisture, where included.")
    cautions = sometimes(partial(Part, Cautions), "The cautions, where included.")


TakeoffPage = page("Takeoff", TakeoffSummary)
