"""Refusals: everything this service says no to, and why. No HTTP here; `service.api.problems` gives each its status.

Refusal
├── Invalid            the request's content is wrong; carries every fault, each with a JSON Pointer
│   └── GeometryInvalid    the survey can be kept but not taken off
├── Missing            no such thing in this account
├── Gone               it was deleted, and stays deleted
├── PlaceLost          what a reader of changes would go on from is no longer kept
├── Conflict           the state of things forbids it (a taken reference, children still there, a survey that moved on)
│   └── BoundReached       no more of this kind fit beneath that parent
├── NotAllApplied      mutations were to be applied all or none, and one cannot be
├── InProgress         the same request, sent before, is still being worked on
├── KeyReused          this Idempotency-Key was sent with another request
├── PreconditionRequired   a change of something that exists must say which version it changes
├── PreconditionFailed     … and that version is no longer the latest
├── Unauthenticated    no key, or one that is not known, expired or revoked
├── Forbidden          the key is good but lacks the scope
└── Unavailable        the database is too busy just now; the same request may succeed a little later
"""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a request: where (RFC 6901 pointer as a URI fragment, or a parameter's name), what, a stable code."""

    pointer: str
    detail: str
    code: str = "invalid"
    ids: dict[str, str] = field(default_factory=dict)


class Refusal(Exception):
    """The root: `str()` is a sentence for a person."""

    code = "refused"
    retry_after_seconds: int | None = None
    """When the same request is worth sending again; None: not before something else has changed."""

    def __init__(self, detail: str, **extra: Any) -> None:
        super().__init__(detail)
        self.detail = detail
        self.extra = extra


class Invalid(Refusal):
    code = "invalid-request"

    def __init__(self, faults: list[Fault], detail: str = "The request has faults; each is listed with its place.") -> None:
        super().__init__(detail)
        self.faults = faults


class GeometryInvalid(Invalid):
    code = "invalid-geometry"

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__(faults, "The survey cannot be taken off as measured; each fault is listed with its place.")


class Missing(Refusal):
    code = "not-found"


class Gone(Refusal):
    code = "gone"


class PlaceLost(Refusal):
    code = "sync-token-expired"


class Conflict(Refusal):
    code = "conflict"


class BoundReached(Conflict):
    code = "bound-reached"


class NotAllApplied(Refusal):
    """`outcomes`: what became, or would have become, of each mutation of the request."""

    code = "mutations-not-applied"

    def __init__(self, outcomes: list[Any]) -> None:
        super().__init__("Not every mutation can be applied, so none was; results says what stands in the way.")
        self.outcomes = outcomes


class InProgress(Refusal):
    code = "request-in-progress"

    def __init__(self, retry_after_seconds: int) -> None:
        super().__init__("A request with this Idempotency-Key is still being worked on. Send it again a little later.")
        self.retry_after_seconds = retry_after_seconds


class KeyReused(Refusal):
    code = "idempotency-key-reused"


class PreconditionRequired(Refusal):
    code = "precondition-required"


class PreconditionFailed(Refusal):
    code = "precondition-failed"


class Unauthenticated(Refusal):
    code = "unauthenticated"


class Forbidden(Refusal):
    code = "forbidden"


class Unavailable(Refusal):
    code = "unavailable"
    retry_after_seconds = 1
