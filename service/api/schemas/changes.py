"""What changed in a project, and what offline devices want changed in it."""

from functools import partial

from service.api.fields import Flag, Id, Int, ListOf, Part, PartOf, Str, Word
from service.api.schemas.family import Answer, Family, answered
from service.api.schemas.projects import Project
from service.api.schemas.survey import Feature, Opening, Room, Wall
from service.vocabulary import ChangeType

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
