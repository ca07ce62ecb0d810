"""Who is calling, and whether their key's scopes allow it. Called before anything of a request is read."""

from typing import cast
from uuid import UUID

from flask import current_app, g, request

from service.errors import Forbidden, Unauthenticated
from service.store.database import Database
from service.usecases.authenticate import authenticate
from service.usecases.records import KeyHolder
from service.vocabulary import KeyScope


def database() -> Database:
    """The database as this request sees it."""
    return cast(Database, g.get("database") or current_app.extensions["database"])


def caller() -> KeyHolder:
    """The holder of the key of this request."""
    return cast(KeyHolder, g.caller)


def account_id() -> UUID:
    return caller().account_id


def require_scope(scope: KeyScope) -> None:
    """Lets the request go on, or raises.

    Raises:
        Unauthenticated: no key, or none that is good.
        Forbidden: a good key without this scope.
    """
    scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not secret.strip():
        raise Unauthenticated("Send your key as `Authorization: Bearer <key>`.")
    g.caller = authenticate(database(), secret.strip())
    if scope not in g.caller.scopes:
        raise Forbidden(f"This needs a key with the scope {scope.value}.")
