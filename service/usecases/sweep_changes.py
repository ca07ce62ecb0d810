"""Sweeps away what devices that work offline need no more, a project at a time."""

from datetime import datetime, timedelta
from uuid import UUID

from sqlalchemy.orm import Session

from service.store.clock import now
from service.store.database import Database
from service.store.ledger import Ledger
from service.store.models import Project
from service.store.sweeping import projects_to_sweep, sweep_project

PROJECTS_AT_A_TIME = 20


def sweep_changes(database: Database, kept: timedelta, *, at_most: int = PROJECTS_AT_A_TIME) -> int:
    """How many rows went, in `at_most` projects. What was deleted or written over, and the results of mutations, are kept this
    long; an id that was deleted stays deleted. Any number of processes may sweep at once.
    """
    before = now() - kept
    with database.read() as session:
        projects = projects_to_sweep(session, before, at_most)
    return sum(database.transact(_sweep, project_id, before) for project_id in projects)


def _sweep(session: Session, project_id: UUID, before: datetime) -> int:
    Ledger.locked(session, Project, project_id)
    return sweep_project(session, project_id, before)
