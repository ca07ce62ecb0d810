"""What is already known to be wrong with a stored survey, or worth knowing, before anyone takes it off."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from service.engine.findings import in_order
from service.engine.geometry.closure import loop_findings
from service.engine.geometry.faults import geometry_faults
from service.engine.parameters import Parameters
from service.snapshots.encode import finding_document
from service.snapshots.fill import fill
from service.store import rows
from service.store.database import Database
from service.store.models import Project, Specification
from service.usecases.engine_input import read_rooms
from service.vocabulary import ResourceKind


def survey_findings(database: Database, account_id: UUID, project_id: UUID, document: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Findings about the geometry of `document`, a project's survey as it was read: openings outside their walls or overlapping,
    offsets that the project's specification cannot bridge, loops of walls that do not close.

    Raises:
        Missing, Gone: the project.
    """
    with database.read() as session:
        project = rows.live(session, account_id, ResourceKind.PROJECT, project_id)
        assert isinstance(project, Project)
        stored = session.get(Specification, project.specification_id) if project.specification_id else None
        parameters = Parameters(**(stored.parameters if stored else {}))
    surveyed = read_rooms(document, project_id, "#")
    found = [*geometry_faults(surveyed.rooms, parameters)]
    for number, room in enumerate(surveyed.rooms, 1):
        found += loop_findings(number, room)
    return [fill(finding_document(finding), surveyed.ids) for finding in in_order(found)]
