"""Reads what one mutation says: its data by the schema that a single PUT or PATCH of the same thing is read by.

What is wrong with the data is the mutation's own refusal and does not stop the others of the request.
"""

from collections.abc import Mapping
from functools import cache
from typing import Any
from uuid import UUID

import marshmallow as ma

from service.api.problems import faults_by_pointer
from service.api.schemas.changes import SHAPES
from service.errors import Fault
from service.usecases.change_records import Mutation
from service.vocabulary import ChangeType, MutationOp, ResourceKind


def read_mutation(project_id: UUID, sent: Mapping[str, Any]) -> Mutation:
    """`sent`: one checked entry of the request. A room's data need not name the project, which the path has."""
    type, op, id, data = ChangeType(sent["type"]), MutationOp(sent["op"]), sent["id"], sent.get("data")
    faults: list[Fault] = []
    if op is MutationOp.DELETE:
        data = {}
    elif data is None:
        data = {}
        faults.append(Fault("#/data", "This member is required for a put or patch.", "required"))
    else:
        if type is ChangeType.ROOM and op is MutationOp.PUT:
            data = {"project_id": str(project_id), **data}
        data = _read(type, op, id, data, faults)
    return Mutation(sent["mutation_id"], ResourceKind(type), id, op, sent.get("base_version"), data, tuple(faults))


def _read(type: ChangeType, op: MutationOp, id: UUID, data: dict[str, Any], faults: list[Fault]) -> dict[str, Any]:
    """The data as the use cases take it; as it came, where there are faults."""
    own = data
    if op is MutationOp.PUT:
        told = SHAPES[type].put.told  # type: ignore[attr-defined]
        own = {name: value for name, value in data.items() if name not in told}
        if data.get("id") is not None and str(data["id"]).lower() != str(id):
            faults.append(Fault("#/data/id", "Is not the id of the mutation.", "other_id"))
    if type is ChangeType.PROJECT and "survey" in own:
        faults.append(Fault("#/data/survey", "A survey is changed row by row here.", "not_here"))
    try:
        read: dict[str, Any] = _schema(type, op).load(own)
    except ma.ValidationError as error:
        faults += [Fault(**fault) for fault in faults_by_pointer(error.messages, ("data",))]
        return data
    return data if faults else read


@cache
def _schema(type: ChangeType, op: MutationOp) -> ma.Schema:
    """Making one costs more than reading with it."""
    shapes = SHAPES[type]
    return (shapes.put if op is MutationOp.PUT else shapes.patch)()
