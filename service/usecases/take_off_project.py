"""Takes off a stored project's survey as it stands."""

from collections.abc import Collection, Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.make_takeoff import make_takeoff
from service.usecases.read_takeoff import read_takeoff
from service.vocabulary import TakeoffPart


def take_off_project(
    database: Database, account_id: UUID, project_id: UUID, request: Mapping[str, Any], include: Collection[TakeoffPart] = ()
) -> tuple[dict[str, Any], float | None]:
    """The new takeoff's document, with the parts in `include`, and the seconds that computing took; None where the result of an
    equal one was shared.

    `request`: where given `survey_version`, `specification_id`, `specification`, `catalogue_id`, `options`; where left out, the
    project's own specification and catalogue.

    Raises:
        Missing, Gone: the project.
        Conflict: the survey has moved on from `survey_version`.
        Invalid: by pointer into the request; ids that stand for nothing.
        GeometryInvalid: the survey cannot be taken off as measured; one entry for each fault, with ids and a pointer into the
            survey document (`#/rooms/0/walls/2/…`).
    """
    takeoff_id, seconds = make_takeoff(database, account_id, request, project_id)
    return read_takeoff(database, account_id, takeoff_id, include), seconds
