"""Outcomes of mutations as they are kept for replays."""

import hashlib
from typing import Any
from uuid import UUID

import orjson

from service.errors import Fault
from service.usecases.change_records import Change, Mutation, Outcome
from service.usecases.records import Record
from service.vocabulary import MutationStatus, ResourceKind


def fingerprint(mutation: Mutation) -> str:
    """Of what it asks for, whatever version it is based on: a device may come to know a newer one before it sends it again."""
    asked = [mutation.kind, str(mutation.row_id), mutation.op, mutation.data]
    return hashlib.sha256(orjson.dumps(asked, option=orjson.OPT_SORT_KEYS)).hexdigest()


def refused(pointer: str, detail: str, code: str) -> Outcome:
    return Outcome(MutationStatus.REFUSED, faults=(Fault(pointer, detail, code),))


def kept_form(outcome: Outcome) -> bytes:
    return orjson.dumps(outcome)


def outcome_from(kept: bytes) -> Outcome:
    """What `kept_form` was given; ids and times within records are text then, as they are answered."""
    told = orjson.loads(kept)
    return Outcome(
        MutationStatus(told["status"]),
        None if told["change"] is None else _change(told["change"]),
        tuple(told["members"]),
        tuple(_change(change) for change in told["newer"]),
        tuple(Fault(**fault) for fault in told["faults"]),
    )


def _change(told: dict[str, Any]) -> Change:
    kind, id, record = ResourceKind(told["kind"]), UUID(told["id"]), told["record"]
    whole = None if record is None else Record(kind, id, record["version"], record["data"])
    return Change(kind, id, told["version"], told["deleted"], whole)
