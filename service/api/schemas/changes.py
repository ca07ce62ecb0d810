"""What changed in a project, and what offline devices want changed in it."""

from functools import partial

from service.api.fields import Between, Flag, Id, Int, Length, ListOf, Part, PartOf, Str, UpTo, Word
from service.api.schemas.family import Answer, Family, Request, answered, sometimes
from service.api.schemas.problems import Fault
from service.api.schemas.projects import Project
from service.api.schemas.survey import Feature, Opening, Room, Wall
from service.vocabulary import ChangeType, MutationOp, MutationStatus

SHAPES: dict[ChangeType, Family] = {
    ChangeType.PROJECT: Project,
    ChangeType.ROOM: Room,
    ChangeType.WALL: Wall,
    ChangeType.OPENING: Opening,
    ChangeType.FEATURE: Feature,
}

_data = partial(PartOf, [shapes.read for shapes in SHAPES.values()], allow_none=True)


class Change(Answer):
    """One thing in a project as it stands: made, changed or deleted."""

    type = answered(partial(Word, ChangeType), "What it is.")
    id = answered(Id, "Its id.")
    version = answered(Int, "The number of its last write in the project.")
    deleted = answered(Flag, "Whether it was deleted.")
    data = answered(_data, "The whole of it, as a GET of it answers; null where it was deleted.")


class Changes(Answer):
    """A stretch of what changed in a project, in the order of versions; each thing once, as it stands."""

    changes = answered(partial(ListOf, Part(Change)), "A child may come before its parent: apply them when `has_more` is false.")
    next_token = answered(Str, "Send it as `since` to go on from here; always given. It says nothing to anybody else.")
    has_more = answered(Flag, "Whether more is there already; if not, what was read so far is the project as it stands.")
    survey_version = answered(
        Int, "The project's version up to which nothing is missing any more: the `base_version` of a delete."
    )


class Mutation(Request):
    """One wish of a device: to put, patch or delete one thing of the project."""

    mutation_id = Str(
        required=True,
        validate=Length(1, 200),
        metadata={"description": "Your name for this wish, at best a UUID. Sent again, it is not done again."},
    )
    type = Word(ChangeType, required=True, metadata={"description": "What it is. A project can be put or patched here."})
    id = Id(required=True, metadata={"description": "Its id; a put makes what is not there yet."})
    op = Word(MutationOp, required=True, metadata={"description": "What to do: as the methods of its own path do."})
    base_version = Int(
        allow_none=True,
        validate=Between(0, 2**31 - 1),
        metadata={
            "description": "Of a put or patch: the `version` of it that the device last saw, null for what it makes. Of a "
            "delete: the latest version of the project that it has seen, `survey_version` of the list of changes. A patch and a "
            "delete need it."
        },
    )
    data = PartOf(
        [shape for shapes in SHAPES.values() for shape in (shapes.put, shapes.patch)],
        allow_none=True,
        metadata={"description": "What a PUT or PATCH of it would send, without a survey. Of a delete: nothing."},
    )


class Mutations(Request):
    """What a device wants changed, in order."""

    mutations = ListOf(
        Part(Mutation),
        required=True,
        validate=UpTo("mutations_per_request"),
        metadata={"description": "Carried out one after the other: a later one meets what an earlier one left."},
    )


class MutationResult(Answer):
    """What became of one mutation."""

    mutation_id = answered(Str, "The caller's name for it.")
    type = answered(partial(Word, ChangeType), "Of what it was to change.")
    id = answered(Id, "Of what it was to change.")
    status = answered(
        partial(Word, MutationStatus),
        "`applied`: done, or it stood like that already. `duplicate`: sent before; all else here is as it was answered first. "
        "`conflict`: something else was written meanwhile. `refused`: it is wrong. `not_applied`: it could be applied, but "
        "`atomic` forbids it without the others.",
    )
    first_status = sometimes(partial(Word, MutationStatus), "Of a duplicate: what it was answered first.")
    version = sometimes(Int, "Applied: its version now; what was merged is in `data`.")
    deleted = sometimes(Flag, "Applied: whether it is deleted now.")
    data = sometimes(_data, "Applied: the whole of it as it stands now; null where it was deleted.")
    server = sometimes(
        partial(Part, Change), "Conflict: what stands in the way as the server has it; something deleted with its last copy."
    )
    members = sometimes(partial(ListOf, Str()), "Conflict of a put or patch: the members that were written by both.")
    newer = sometimes(partial(ListOf, Part(Change)), "Conflict of a delete: what the device has not seen, itself or beneath it.")
    errors = sometimes(partial(ListOf, Part(Fault)), "Refused: every fault, pointers into the body of this request.")


class MutationResults(Answer):
    """What became of each mutation."""

    results = answered(partial(ListOf, Part(MutationResult)), "One each, in their order.")
