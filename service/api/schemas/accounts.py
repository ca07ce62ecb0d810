"""Accounts and the keys that open them."""

from functools import partial

from service.api.fields import Between, Distinct, Id, Int, Length, ListOf, Part, Str, Time, Word
from service.api.schemas.family import Answer, Request, answered, page, shown_once
from service.vocabulary import KeyScope

UNNAMED = "unnamed"
USUAL_OVERLAP_SECONDS = 24 * 3600
LONGEST_OVERLAP_SECONDS = 30 * 24 * 3600


class Account(Answer):
    """The account that the caller's key belongs to."""

    id = answered(Id, "Its id.")
    name = answered(Str, "Its name.")
    created_at = answered(Time, "When it was made, RFC 3339 in UTC.")


class KeyCreate(Request):
    """A key to be made."""

    name = Str(validate=Length(1, 200), metadata={"description": "What it is for.", "default": UNNAMED})
    scopes = ListOf(
        Word(KeyScope),
        required=True,
        validate=[Length(1, 4), Distinct()],
        metadata={"description": "What it may do.", "uniqueItems": True},
    )
    expires_at = Time(allow_none=True, metadata={"description": "When it stops working; null: never.", "default": None})


class KeyRotation(Request):
    """How a key is to be rotated."""

    overlap_seconds = Int(
        validate=Between(0, LONGEST_OVERLAP_SECONDS),
        metadata={
            "description": "How long the secret that the key has now stays good; 0: not at all. Ones before it keep their end, "
            "if that is sooner.",
            "default": USUAL_OVERLAP_SECONDS,
        },
    )


class FormerSecret(Answer):
    """A secret from before a rotation that still works."""

    prefix = answered(Str, "Its beginning.")
    expires_at = answered(Time, "When it stops working.")


class Key(Answer):
    """An API key, without its secret."""

    id = answered(Id, "Its id.")
    name = answered(Str, "What it is for.")
    prefix = answered(Str, "The beginning of the secret, to tell keys apart by; no secret itself.")
    scopes = answered(partial(ListOf, Word(KeyScope)), "What it may do.")
    created_at = answered(Time, "When it was made.")
    expires_at = answered(Time, "When it stops working; null: never.", allow_none=True)
    revoked_at = answered(Time, "When it was revoked; null: it was not.", allow_none=True)
    last_used_at = answered(Time, "When it was last used, to the minute; null: never.", allow_none=True)
    former = answered(partial(ListOf, Part(FormerSecret)), "Secrets from before a rotation that still work, first to end first.")


class KeyMade(Key):
    """A key with its new secret, which is shown this once and kept by nobody."""

    secret = shown_once(
        Str,
        "Send it as `Authorization: Bearer <secret>`. null where this answer was given before (`Idempotency-Replayed`): "
        "the secret is kept by nobody, so one that was lost on the way is replaced by rotating the key.",
    )


KeyPage = page("Key", Key)
