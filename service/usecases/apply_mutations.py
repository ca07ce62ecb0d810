"""Carries out what a device wants changed in a project, wish by wish, on the same path as single requests.

The project stays locked from the first wish to the last, so all of them meet one state, and whoever sends the same batch a second
time meanwhile waits and finds the results of the first.
"""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.errors import NotAllApplied
from service.store import rows
from service.store.clock import now
from service.store.database import Database
from service.store.ledger import Ledger
from service.store.models import MutationResult
from service.usecases.change_records import Mutation, Outcome
from service.usecases.kept_outcomes import fingerprint, kept_form, outcome_from, refused
from service.usecases.mutating import Mutating
from service.vocabulary import MutationStatus, ResourceKind


def apply_mutations(
    database: Database, account_id: UUID, project_id: UUID, mutations: Sequence[Mutation], *, atomic: bool = False
) -> list[Outcome]:
    """One outcome each, in order. Those that can be carried out are, whatever becomes of the others; each result is kept for
    whoever sends its mutation again.

    Raises:
        Missing, Gone: the project.
        NotAllApplied: with `atomic`, where one is a conflict or refused; nothing is stored. Its `outcomes` say why.
    """
    return database.transact(_apply, account_id, project_id, mutations, atomic)


def _apply(session: Session, account_id: UUID, project_id: UUID, mutations: Sequence[Mutation], atomic: bool) -> list[Outcome]:
    _, ledger = rows.under_lock(session, account_id, ResourceKind.PROJECT, project_id)
    kept = _kept_results(session, project_id, [mutation.id for mutation in mutations])
    mutating = Mutating(session, account_id, ledger)
    outcomes = [_outcome(session, ledger, mutating, kept, mutation) for mutation in mutations]
    if atomic and not all(_stands(outcome) for outcome in outcomes):
        raise NotAllApplied([_undone(outcome) for outcome in outcomes])
    return outcomes


def _outcome(
    session: Session, ledger: Ledger, mutating: Mutating, kept: dict[str, MutationResult], mutation: Mutation
) -> Outcome:
    mark = fingerprint(mutation)
    before = kept.get(mutation.id)
    if before is not None:
        if before.fingerprint != mark:
            return refused("#/mutation_id", "Another mutation was sent under this id before.", "mutation_id_used")
        mutating.learn(before.number, before.number_before)
        first = outcome_from(before.result)
        return replace(first, status=MutationStatus.DUPLICATE, first=first.status)
    outcome = mutating.outcome(mutation)
    wrote, had = mutating.last_write
    result = MutationResult(
        project_id=ledger.root.id,
        mutation_id=mutation.id,
        fingerprint=mark,
        number=wrote,
        number_before=had,
        result=kept_form(outcome),
        made_at=now(),
    )
    session.add(result)
    session.flush()
    kept[mutation.id] = result
    return outcome


def _kept_results(session: Session, project_id: UUID, ids: list[str]) -> dict[str, MutationResult]:
    query = select(MutationResult).where(MutationResult.project_id == project_id, MutationResult.mutation_id.in_(ids))
    return {result.mutation_id: result for result in session.scalars(query)}


def _stands(outcome: Outcome) -> bool:
    return MutationStatus.APPLIED in (outcome.status, outcome.first)


def _undone(outcome: Outcome) -> Outcome:
    return Outcome(MutationStatus.NOT_APPLIED) if outcome.status is MutationStatus.APPLIED else outcome
