"""The shape of every refusal."""

from functools import partial

from service.api.fields import Int, ListOf, Part, Str
from service.api.schemas.family import Answer, answered, sometimes


class Fault(Answer):
    """One thing that is wrong, and where."""

    pointer = sometimes(Str, "Place in the request body: a JSON Pointer (RFC 6901) as a URI fragment.")
    parameter = sometimes(Str, "Or the query parameter or header.")
    detail = answered(Str, "What is wrong, for a person.")
    code = answered(Str, "What is wrong, for a program.")


class ProblemDetails(Answer):
    """Problem details (RFC 9457). Programs decide by `type`; further members say more about one kind of problem."""

    type = answered(Str, "Which kind of problem; `x-problem-types` of this document lists them.")
    title = answered(Str, "The kind in words; never changes.")
    status = answered(Int, "The HTTP status.")
    detail = answered(Str, "What happened this time.")
    instance = answered(Str, "The path that was asked.")
    request_id = answered(Str, "Also in X-Request-Id and in the log.")
    errors = answered(partial(ListOf, Part(Fault)), "Every fault that was found; empty where there is none to list.")
