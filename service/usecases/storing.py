"""Making, changing and deleting one row: the steps that single requests and mutations share.

All of them run inside a write, with the root's ledger held wherever the root exists already.
"""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any
from uuid import UUID

from json_merge_patch import merge
from sqlalchemy.orm import Session
from uuid_utils.compat import uuid7

from service.errors import Conflict, Fault, Invalid
from service.store import rows
from service.store.kinds import KINDS
from service.store.ledger import Ledger
from service.store.models import Catalogue, Root, Versioned
from service.usecases.build_up_layers import held_materials, resolved_build_up
from service.usecases.members import FORMS, Values, references, values_of
from service.usecases.offcut_members import refuse_reserved
from service.usecases.records import Precondition
from service.usecases.survey_tree import apply_survey, plan_survey
from service.vocabulary import ResourceKind


def make(
    session: Session,
    account_id: UUID,
    kind: ResourceKind,
    data: Mapping[str, Any],
    beneath: tuple[Versioned, Ledger] | None,
    id: UUID | None = None,
) -> Versioned:
    """Stores a new row `beneath` a live parent, whose root's ledger comes with it (None: a root of the account).

    Raises:
        BoundReached: the parent has as many children of this kind as may be.
        Invalid, Conflict: see `create_resource`.
    """
    shape = KINDS[kind]
    row = shape.model(id=id or uuid7())
    last = parent = None
    if beneath is None:
        row.account_id = account_id
        ledger = Ledger.begun(session, _root(row))
    else:
        parent, ledger = beneath
        last = rows.room_for_one_more(session, kind, parent.id)
    survey = data.get("survey") if kind is ResourceKind.PROJECT else None
    members = own_members(kind, data)
    if shape.by_position and members.get("position") is None:
        members["position"] = after(last)
    faults: list[Fault] = []
    values = read_values(session, account_id, kind, members, parent, faults)
    plan = None if survey is None else plan_survey(session, _root(row), survey, "#/survey", faults)
    if faults:
        raise Invalid(faults)
    if parent is not None:
        values[shape.parent_id or ""] = parent.id
        if hasattr(row, "project_id"):
            values["project_id"] = ledger.root.id
    _refuse_taken(session, kind, account_id if parent is None else parent.id, values, row.id)
    ledger.write(row, values)
    session.flush()
    if plan is not None:
        apply_survey(session, ledger, plan)
        ledger.write(row, {})  # the project comes last, so that its version is the survey's too
    return row


def change(
    session: Session,
    account_id: UUID,
    ledger: Ledger,
    row: Versioned,
    members: Mapping[str, Any],
    survey: Any,
    precondition: Precondition,
) -> None:
    """Gives a live row these members, and a project this survey (None: leave it), if that changes anything.

    Raises:
        Invalid, Conflict, PreconditionRequired, PreconditionFailed: see `replace_resource`.
    """
    kind, shape = row.resource_kind, KINDS[row.resource_kind]
    root = None if row is ledger.root else ledger.root
    faults: list[Fault] = []
    values = read_values(session, account_id, kind, members, root, faults)
    plan = None if survey is None else plan_survey(session, ledger.root, survey, "#/survey", faults)
    if faults:
        raise Invalid(faults)
    before = values_of(row)
    same = FORMS[kind].show({**before, **values}) == FORMS[kind].show(before)
    moved = plan is not None and plan.changes
    if same and not moved:
        return
    # The survey's version counts every write in the project, so it also stands for the project's own members.
    latest = ledger.root.change_counter
    precondition.allow_change(*((latest,) if moved else (row.version, latest) if survey is not None else (row.version,)))
    scope = account_id if shape.parent_id is None else getattr(row, shape.parent_id)
    _refuse_taken(session, kind, scope, values, row.id)
    if isinstance(row, Catalogue):
        _refuse_repricing(session, row, values)
    refuse_reserved(row)
    if plan is not None:
        apply_survey(session, ledger, plan)
    ledger.write(row, {} if same else values)
    session.flush()


def remove(session: Session, ledger: Ledger, row: Versioned) -> None:
    """Makes tombstones of a live row and of all beneath it, the row last."""
    for child in list(rows.beneath(session, row.resource_kind, [row.id])):
        ledger.write(child, {}, deleted=True)
    ledger.write(row, {}, deleted=True)
    session.flush()


def members_put(row: Versioned, data: Mapping[str, Any]) -> dict[str, Any]:
    """The members that a live row is to have, all that it does not name at their defaults; a position stays."""
    members = own_members(row.resource_kind, data)
    if KINDS[row.resource_kind].by_position and members.get("position") is None:
        members["position"] = values_of(row)["position"]
    return members


def members_patched(session: Session, row: Versioned, merge_patch: Mapping[str, Any]) -> dict[str, Any]:
    """The members of a live row with a merge patch on them; a position of null goes behind all others."""
    kind, shape = row.resource_kind, KINDS[row.resource_kind]
    patch = {name: value for name, value in merge_patch.items() if name != shape.parent_id}
    members: dict[str, Any] = merge(deepcopy(FORMS[kind].given(values_of(row))), patch)
    if shape.by_position and members.get("position") is None:
        members["position"] = after(rows.last_position(session, kind, getattr(row, shape.parent_id or ""), without=row.id))
    return members


def read_values(
    session: Session,
    account_id: UUID,
    kind: ResourceKind,
    members: Mapping[str, Any],
    above: Versioned | None,
    faults: list[Fault],
) -> Values:
    """The column values of checked members, other resources that they name included. `above`: the row's parent or root, which
    of an item are both its catalogue; None where it has neither.
    """
    values = FORMS[kind].read(members, "#", faults)
    for name, target in references(kind).items():
        if values[name] is not None and not rows.may_be_used(session, account_id, target, values[name]):
            faults.append(Fault(f"#/{name}", f"There is no {KINDS[target].name} with this id.", "unknown_id"))
    if kind is ResourceKind.SPECIFICATION and values["build_up"] is not None and not faults:
        held_materials(session, account_id, values["build_up"])
        resolved_build_up(session, account_id, values["build_up"], "#/build_up", faults)
    if isinstance(above, Catalogue) and values["price_currency"] not in (None, above.currency):
        faults.append(Fault("#/price/currency", f"Must be the catalogue's, {above.currency}.", "wrong_currency"))
    return values


def own_members(kind: ResourceKind, data: Mapping[str, Any]) -> dict[str, Any]:
    """What was sent, without its parent's id and a project's survey."""
    apart = {KINDS[kind].parent_id} | ({"survey"} if kind is ResourceKind.PROJECT else set())
    return {name: value for name, value in data.items() if name not in apart}


def after(last: float | None) -> float:
    """A position behind all siblings."""
    return 1 if last is None else last + 1


def _refuse_taken(session: Session, kind: ResourceKind, scope: UUID, values: Values, id: UUID) -> None:
    """`scope`: the parent, or for a root the account, within which a reference or sku is unique."""
    shape = KINDS[kind]
    value = None if shape.unique is None else values[shape.unique]
    if value is None:
        return
    holder = rows.holder_of(session, kind, scope, value, without=id)
    if holder is not None:
        raise Conflict(f"This {shape.unique} is taken by another {shape.name}.", id=str(holder))


def _refuse_repricing(session: Session, catalogue: Catalogue, values: Values) -> None:
    """The currency stays while anything has a price in it."""
    priced = (
        item
        for item in rows.children(session, catalogue.resource_kind, [catalogue.id])
        if values_of(item)["price_minor"] is not None
    )
    if values["currency"] != catalogue.currency and any(priced):
        raise Conflict("The currency cannot change while items have prices in it.")


def _root(row: Versioned) -> Root:
    assert isinstance(row, Root)
    return row
