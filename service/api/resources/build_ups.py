"""Build-ups assessed without a survey."""

from collections.abc import Mapping
from typing import Any

from flask import Response

from service.api import thermal_examples as examples
from service.api.answers import json_answer
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.schemas.assessments import BuildUpAssess, BuildUpAssessment
from service.usecases.assess_build_up import assess_build_up
from service.vocabulary import KeyScope

build_ups = Blueprint("Build-ups", "Layers of a wall assessed for heat and moisture without a survey.")


@build_ups.operation(
    "POST",
    "/v1/buildups",
    "assessBuildUp",
    scope=KeyScope.TAKEOFF,
    body=BuildUpAssess,
    body_example=examples.BUILD_UP_SENT,
    answer=BuildUpAssessment,
    example=examples.BUILD_UP_ASSESSED,
)
def assess(body: Mapping[str, Any]) -> Response:
    """Assess a build-up

    Thermal transmittance with its limits and corrections, the way to a target, and with a climate the inside surface and a year
    of moisture with and without the vapour control layer; each number with its working. Nothing is stored.
    """
    return json_answer(assess_build_up(database(), account_id(), body))
