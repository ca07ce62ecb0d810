"""Takeoffs: asked for with an inline survey or of a project, read whole or part by part."""

from collections.abc import Mapping
from functools import partial
from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, request

from service.api import takeoff_examples as examples
from service.api.answers import versioned
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.paging import page_answer
from service.api.problems import Refused
from service.api.schemas.cut_lists import CutLists
from service.api.schemas.inputs import InputsUsed
from service.api.schemas.layouts import Layout, Layouts
from service.api.schemas.queries import PageQuery, PartQuery, TakeoffQuery
from service.api.schemas.schedules import Schedule
from service.api.schemas.takeoffs import ProjectTakeoffCreate, Takeoff, TakeoffCreate, TakeoffPage, TakeoffSummary
from service.usecases.list_resources import list_resources
from service.usecases.records import Record
from service.vocabulary import KeyScope, ResourceKind

takeoffs = Blueprint("Takeoffs", "A survey in; layout, schedule and cut lists out.")
