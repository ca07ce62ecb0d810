"""Makes and keeps a takeoff. The database is not held while the engine runs; equal inputs of an account share one result."""

import time
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.engine.recipe import GeometryRefused, take_off
from service.snapshots.digest import digest
from service.snapshots.encode import Snapshot, encode
from service.store.clock import now
from service.store.database import Database
from service.store.models import Result, ResultPart, Takeoff
from service.usecases.geometry_refusal import geometry_refusal
from service.usecases.takeoff_basis import Basis, read_basis


def make_takeoff(
    database: Database, account_id: UUID, request: Mapping[str, Any], project_id: UUID | None
) -> tuple[UUID, float | None]:
    """The id of the new takeoff, and the seconds that computing took; None where the result of an equal one was shared.

    Raises:
        as `read_basis`.
        GeometryInvalid: the survey cannot be taken off as measured.
    """
    takeoff_id = uuid7()
    with database.read() as session:
        basis = read_basis(session, account_id, takeoff_id, request, project_id)
        named = digest(basis.inputs)
        known = _result_id(session, account_id, named) is not None
    began = time.perf_counter()
    try:
        snapshot = None if known else encode(basis.inputs, take_off(basis.inputs))
    except GeometryRefused as refused:
        raise geometry_refusal(refused.findings, basis.surveyed) from refused
    seconds = None if known else time.perf_counter() - began
    database.transact(_keep, account_id, takeoff_id, named, snapshot, basis)
    return takeoff_id, seconds


def _keep(session: Session, account_id: UUID, takeoff_id: UUID, named: str, snapshot: Snapshot | None, basis: Basis) -> None:
    """Results are never removed: one that was there when it was looked for still is."""
    result_id = _result_id(session, account_id, named)
    if result_id is None:
        assert snapshot is not None
        result_id = _keep_result(session, account_id, named, snapshot)
    project_id = basis.used["project_id"]
    session.add(
        Takeoff(
            id=takeoff_id,
            account_id=account_id,
            project_id=None if project_id is None else UUID(project_id),
            result_id=result_id,
            digest=named,
            inputs=basis.used,
            options=_options(basis),
            id_map=basis.ids,
            created_at=now(),
        )
    )
    session.flush()


def _result_id(session: Session, account_id: UUID, named: str) -> UUID | None:
    return session.scalar(select(Result.id).where(Result.account_id == account_id, Result.digest == named))


def _keep_result(session: Session, account_id: UUID, named: str, snapshot: Snapshot) -> UUID:
    result = Result(
        id=uuid7(),
        account_id=account_id,
        digest=named,
        engine_version=snapshot.engine_version,
        created_at=now(),
        summary=snapshot.summary,
    )
    session.add(result)
    session.flush()
    session.add_all(
        ResultPart(result_id=result.id, part=part, key=key, body=body) for (part, key), body in snapshot.parts.items()
    )
    session.flush()
    return result.id


def _options(basis: Basis) -> dict[str, Any]:
    options = basis.inputs.options
    return {
        "pool": options.pool.value,
        "kerf_mm": options.kerf_mm,
        "allowances": {component.value: percent for component, percent in sorted(options.allowances.items())},
        "offcuts": basis.offered.asked,
    }
