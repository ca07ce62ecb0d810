"""A whole survey against what is stored: first a plan that changes nothing, then its carrying out.

The order of the lists is the order on site. A row keeps the position it has, or the one it is sent with, where that agrees with
the order; otherwise it gets one that does.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.errors import Fault
from service.store import rows
from service.store.kinds import KINDS, SURVEY_KINDS
from service.store.ledger import Ledger
from service.store.models import Root, SurveyRow, Versioned
from service.store.rules import as_id
from service.usecases.checking import refuse_unknown
from service.usecases.members import FORMS, Values, values_of
from service.vocabulary import ResourceKind

LISTS: dict[ResourceKind, dict[str, ResourceKind]] = {
    ResourceKind.PROJECT: {"rooms": ResourceKind.ROOM},
    ResourceKind.ROOM: {"walls": ResourceKind.WALL},
    ResourceKind.WALL: {"openings": ResourceKind.OPENING, "features": ResourceKind.FEATURE},
    ResourceKind.OPENING: {},
    ResourceKind.FEATURE: {},
}
"""The lists of children in each kind's part of the document."""

FOREIGN = ("This id belongs to something outside this project.", "foreign_id")
DELETED = ("What had this id was deleted; an id is not used again.", "deleted_id")


@dataclass(slots=True)
class Node:
    """One row of the document: what it is to hold, and the stored row it stands for, if there is one."""

    kind: ResourceKind
    at: str
    id: UUID
    id_given: bool
    parent_id: UUID
    values: Values = field(default_factory=dict)
    row: SurveyRow | None = None

    @property
    def changes(self) -> bool:
        if self.row is None:
            return True
        before = values_of(self.row)
        return FORMS[self.kind].show({**before, **self.values}) != FORMS[self.kind].show(before)


@dataclass(slots=True)
class Plan:
    """`nodes`: the rows to make or change, parents first. `left_out`: the rows that the document no longer has."""

    nodes: list[Node]
    left_out: list[SurveyRow]

    @property
    def changes(self) -> bool:
        return bool(self.nodes or self.left_out)


def plan_survey(session: Session, project: Root, document: Any, at: str, faults: list[Fault]) -> Plan:
    """What has to be written for the project's survey to be `document`. Everything wrong with it is added to `faults`."""
    stored: dict[UUID, SurveyRow] = {}
    for kind in SURVEY_KINDS[1:]:
        model: Any = KINDS[kind].model
        query = select(model).where(model.project_id == project.id, model.deleted_at.is_(None))
        stored.update((row.id, row) for row in session.scalars(query.execution_options(populate_existing=True)))
    nodes = _Reader(stored, faults).read(document, project.id, at)
    _refuse_foreign_ids(session, project, [node for node in nodes if node.id_given and node.row is None], faults)
    named = {node.id for node in nodes}
    changed = (
        sorted((node for node in nodes if node.changes), key=lambda node: SURVEY_KINDS.index(node.kind)) if not faults else []
    )
    return Plan(changed, [row for id, row in stored.items() if id not in named])


def apply_survey(session: Session, ledger: Ledger, plan: Plan) -> None:
    """Writes the plan, one number a row: what is left out first, then level by level."""
    for left_out in plan.left_out:
        ledger.write(left_out, {}, deleted=True)
    level = None
    for node in plan.nodes:
        if level is not None and node.kind is not level:
            session.flush()  # parents before children: the tables refer to each other
        level = node.kind
        row = KINDS[node.kind].model(id=node.id) if node.row is None else node.row
        values = node.values
        if node.row is None:
            values = {**values, KINDS[node.kind].parent_id or "": node.parent_id, "project_id": ledger.root.id}
        ledger.write(row, values)
    session.flush()


class _Reader:
    """Walks the document once, depth first, and makes the nodes."""

    def __init__(self, stored: Mapping[UUID, SurveyRow], faults: list[Fault]) -> None:
        self._stored = stored
        self._faults = faults
        self._places: dict[UUID, str] = {}
        self._nodes: list[Node] = []

    def read(self, document: Any, project_id: UUID, at: str) -> list[Node]:
        if not isinstance(document, Mapping):
            self._fault(at, "Must be an object with a list of rooms.", "wrong_type")
            return []
        refuse_unknown(document, LISTS[ResourceKind.PROJECT], at, self._faults)
        self._read_lists(document, ResourceKind.PROJECT, project_id, at)
        return self._nodes

    def _read_lists(self, part: Mapping[str, Any], kind: ResourceKind, parent_id: UUID, at: str) -> None:
        for name, child in LISTS[kind].items():
            entries = part.get(name)
            if entries is None:
                continue
            if not isinstance(entries, list):
                self._fault(f"{at}/{name}", "Must be a list.", "wrong_type")
                continue
            siblings = [self._read_entry(entry, child, parent_id, f"{at}/{name}/{i}") for i, entry in enumerate(entries)]
            put_in_order([node for node in siblings if node is not None])

    def _read_entry(self, entry: Any, kind: ResourceKind, parent_id: UUID, at: str) -> Node | None:
        if not isinstance(entry, Mapping):
            self._fault(at, "Must be an object.", "wrong_type")
            return None
        node = self._identify(entry.get("id"), kind, parent_id, at)
        own = {name: value for name, value in entry.items() if name != "id" and name not in LISTS[kind]}
        positioned = own.get("position") is not None
        node.values = FORMS[kind].read(own if positioned else {**own, "position": 0}, at, self._faults)
        if not positioned:
            node.values["position"] = None if node.row is None else node.row.position
        self._nodes.append(node)
        self._read_lists(entry, kind, node.id, at)
        return node

    def _identify(self, given: Any, kind: ResourceKind, parent_id: UUID, at: str) -> Node:
        id = as_id(given)
        if id is None:
            if given is not None:
                self._fault(f"{at}/id", "Must be a UUID.", "wrong_type")
            return Node(kind, at, uuid7(), False, parent_id)
        node = Node(kind, at, id, True, parent_id)
        if id in self._places:
            self._fault(f"{at}/id", f"This id is given to {self._places[id]} already.", "id_twice")
            return Node(kind, at, uuid7(), False, parent_id)
        self._places[id] = at
        row = self._stored.get(id)
        if row is None or row.resource_kind is not kind:
            return node  # whose id it is otherwise is looked up for all such nodes at once
        if getattr(row, KINDS[kind].parent_id or "") != parent_id:
            self._fault(
                f"{at}/id", "The row with this id stands elsewhere in the survey; a row keeps its parent.", "id_elsewhere"
            )
        else:
            node.row = row
        return node

    def _fault(self, at: str, detail: str, code: str) -> None:
        self._faults.append(Fault(at, detail, code))


def put_in_order(siblings: list[Node]) -> None:
    """Gives each node a position after the one before it, changing as few as a walk from the first to the last can."""
    last: tuple[float, UUID] | None = None
    for number, node in enumerate(siblings):
        wanted = node.values["position"]
        if wanted is None or (last is not None and (wanted, node.id) <= last):
            wanted = _between(last, siblings[number + 1 :])
            node.values["position"] = wanted
        last = (wanted, node.id)


def _between(last: tuple[float, UUID] | None, following: list[Node]) -> float:
    """A position after `last`, and before the next one that can stay, where there is room."""
    least = 0.0 if last is None else last[0]
    for node in following:
        kept = node.values["position"]
        if kept is not None and kept > least:
            middle = (least + kept) / 2
            return middle if least < middle < kept else least + 1
    return least + 1


def _refuse_foreign_ids(session: Session, project: Root, nodes: list[Node], faults: list[Fault]) -> None:
    """Ids that are given but stand for nothing live in this project must be unused everywhere."""
    ids = [node.id for node in nodes]
    owners = rows.survey_owners(session, ids)
    former = {was.id: was.project_id for was in rows.swept(session, ids)}
    for node in nodes:
        reasons = [_why_not(owner, node, project) for owner in owners.get(node.id, ())]
        if node.id in former:
            reasons.append(DELETED if former[node.id] == project.id else FOREIGN)
        fault = next(filter(None, reasons), None)
        if fault is not None:
            faults.append(Fault(f"{node.at}/id", *fault))


def _why_not(owner: Versioned, node: Node, project: Root) -> tuple[str, str] | None:
    if getattr(owner, "project_id", owner.id) != project.id:
        return FOREIGN
    if owner.resource_kind is not node.kind:
        return f"This id is that of a {owner.resource_kind}.", "id_of_another_kind"
    if owner.deleted_at is not None:
        return DELETED
    return None
