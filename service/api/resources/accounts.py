"""The caller's account and its keys."""

from collections.abc import Mapping
from datetime import timedelta
from functools import partial
from typing import Any
from uuid import UUID

from flask import Response

from service.api import examples
from service.api.answers import json_answer, marked, nothing
from service.api.auth import account_id, database
from service.api.base import Blueprint
from service.api.paging import page_answer
from service.api.schemas.accounts import UNNAMED, USUAL_OVERLAP_SECONDS, Account, Key, KeyCreate, KeyMade, KeyPage, KeyRotation
from service.api.schemas.queries import PageQuery
from service.usecases.create_key import create_key
from service.usecases.list_resources import list_resources
from service.usecases.read_resource import read_resource
from service.usecases.records import Record
from service.usecases.revoke_key import revoke_key
from service.usecases.rotate_key import rotate_key
from service.vocabulary import KeyScope, ResourceKind

accounts = Blueprint("Account and keys", "Whose data this is, and who may reach it.")
KEY_PATH = "/v1/keys/<uuid:key_id>"


@accounts.operation("GET", "/v1/account", "getAccount", scope=KeyScope.READ, answer=Account, example=examples.ACCOUNT, etag=True)
def get_account() -> Response:
    """Read your account"""
    record = read_resource(database(), account_id(), ResourceKind.ACCOUNT, account_id())
    return marked(_shown(record, Account))


@accounts.operation(
    "GET",
    "/v1/keys",
    "listKeys",
    scope=KeyScope.ADMIN,
    query=PageQuery,
    answer=KeyPage,
    example={"items": [examples.KEY], "next_cursor": None},
    paged=True,
)
def list_keys(query: Mapping[str, Any]) -> Response:
    """List keys

    Revoked ones too. Secrets are never shown again.
    """
    return page_answer(query, partial(list_resources, database(), account_id(), ResourceKind.KEY), partial(_shown, of=Key))


@accounts.operation(
    "POST",
    "/v1/keys",
    "createKey",
    scope=KeyScope.ADMIN,
    body=KeyCreate,
    body_example=examples.KEY_SENT,
    answer=KeyMade,
    example=examples.KEY_MADE,
    status=201,
)
def make_key(body: Mapping[str, Any]) -> Response:
    """Make a key

    The secret is in this answer and nowhere else, ever.
    """
    scopes = [KeyScope(scope) for scope in body["scopes"]]
    record, secret = create_key(database(), account_id(), scopes, body.get("name", UNNAMED), body.get("expires_at"))
    return json_answer({**_shown(record, Key), "secret": secret}, 201, {"Location": f"/v1/keys/{record.id}"})


@accounts.operation("GET", KEY_PATH, "getKey", scope=KeyScope.ADMIN, answer=Key, example=examples.KEY, etag=True)
def get_key(key_id: UUID) -> Response:
    """Read a key"""
    return marked(_shown(read_resource(database(), account_id(), ResourceKind.KEY, key_id), Key))


@accounts.operation(
    "POST",
    f"{KEY_PATH}/rotation",
    "rotateKey",
    scope=KeyScope.ADMIN,
    body=KeyRotation,
    body_example={"overlap_seconds": 3600},
    answer=KeyMade,
    example=examples.KEY_ROTATED,
    problems=(409,),
)
def renew_key(key_id: UUID, body: Mapping[str, Any]) -> Response:
    """Give a key a new secret

    Its id, scopes and expiry stay. The secret it had works on for a day, or as long as the body says, so that whoever uses it can
    change over without a break; `former` says until when. The new one is in this answer and nowhere else, ever. A key that was
    revoked or has expired stays so (409).
    """
    overlap = timedelta(seconds=body.get("overlap_seconds", USUAL_OVERLAP_SECONDS))
    record, secret = rotate_key(database(), account_id(), key_id, overlap)
    return json_answer({**_shown(record, Key), "secret": secret})


@accounts.operation("DELETE", KEY_PATH, "revokeKey", scope=KeyScope.ADMIN, status=204)
def end_key(key_id: UUID) -> Response:
    """Revoke a key

    From now on it is refused. Needs no If-Match; revoking it again changes nothing.
    """
    revoke_key(database(), account_id(), key_id)
    return nothing()


def _shown(record: Record, of: type[Account] | type[Key]) -> dict[str, Any]:
    document = record.document()
    return {name: document[name] for name in of._declared_fields}
