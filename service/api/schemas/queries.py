"""Query strings: what can be asked for after the question mark. Anything else there is refused."""

import marshmallow as ma

from service.api.fields import Coded, Id, Length, QueryFlag, QueryInt, Str, Word
from service.vocabulary import Component, Format, OffcutState, TakeoffPart


class Query(ma.Schema):
    class Meta:
        unknown = ma.RAISE

    error_messages = {"unknown": Coded("unknown_parameter", "There is no such parameter here.")}


class NoQuery(Query):
    """An operation without parameters: one that is given is a mistake of the caller's and is said to be one."""


class AtLeastOne(ma.validate.Range):
    def __init__(self) -> None:
        super().__init__(min=1)

    def _format_error(self, value: int, message: str) -> str:
        return Coded("out_of_range", "Must be at least 1.")


class PageQuery(Query):
    limit = QueryInt(
        validate=AtLeastOne(),
        metadata={"description": "How many entries at most. More than the service gives at a time is cut down to that."},
    )
    cursor = Str(validate=Length(1, 1000), metadata={"description": "`next_cursor` of the page before."})


class ChangesQuery(Query):
    since = Str(
        validate=Length(1, 1000), metadata={"description": "`next_token` of the last answer. Left out: the whole project."}
    )
    limit = PageQuery._declared_fields["limit"]


class MutationsQuery(Query):
    atomic = QueryFlag(metadata={"description": "`true`: apply all or nothing.", "default": False})


class ProjectsQuery(PageQuery):
    reference = Str(validate=Length(1, 200), metadata={"description": "Only the project with this reference."})


class ItemsQuery(PageQuery):
    sku = Str(validate=Length(1, 100), metadata={"description": "Only the item with this article number."})
    component = Word(Component, metadata={"description": "Only items of this component."})


class OffcutsQuery(PageQuery):
    component = Word(Component, metadata={"description": "Only offcuts of this component."})
    state = Word(OffcutState, metadata={"description": "Only what can be drawn on, or only what is reserved."})


class FormatQuery(Query):
    format = Word(Format, metadata={"description": "Which form to answer in, whatever `Accept` says; for links."})


class DeleteQuery(Query):
    with_children = QueryFlag(metadata={"description": "`true`: delete all beneath it too.", "default": False})


class PartsList(Str):
    """Names of takeoff parts, separated by commas."""

    default_error_messages = {"part": "{part} is no part that can be included; there are: {parts}."}
    codes = {**Str.codes, "part": "not_in_list"}

    def _deserialize(self, value: object, attr: object, data: object, **kwargs: object) -> list[TakeoffPart]:
        names = super()._deserialize(value, attr, data, **kwargs).split(",")
        for name in names:
            if name not in set(TakeoffPart):
                raise self.make_error("part", part=repr(name), parts=", ".join(TakeoffPart))
        return [part for part in TakeoffPart if part in names]


class TakeoffQuery(Query):
    include = PartsList(
        metadata={
            "description": f"Parts to embed, separated by commas: {', '.join(TakeoffPart)}.",
            "pattern": "^({0})(,({0}))*$".format("|".join(TakeoffPart)),
        }
    )


class PlaceQuery(Query):
    room_id = Id(metadata={"description": "Only what is in this room."})
    wall_id = Id(metadata={"description": "Only what is in this wall."})


class PartQuery(PlaceQuery):
    component = Word(Component, metadata={"description": "Only this component."})
