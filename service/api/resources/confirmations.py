"""Confirming a takeoff: offcuts are held for it, and what it leaves becomes offcuts."""

import hashlib
from uuid import UUID

import orjson
from flask import Response

from service.api import examples
from service.api.answers import json_answer, nothing, versioned
from service.api.auth import account_id, database
from service.api.resources.offcuts import offcuts
from service.api.schemas.offcuts import Confirmation
from service.usecases.confirm_takeoff import confirm_takeoff
from service.usecases.read_confirmation import read_confirmation
from service.usecases.release_takeoff import release_takeoff
from service.vocabulary import KeyScope

PATH = "/v1/takeoffs/<uuid:takeoff_id>/confirmation"


@offcuts.operation(
    "GET",
    PATH,
    "getConfirmation",
    scope=KeyScope.READ,
    answer=Confirmation,
    example=examples.CONFIRMATION,
    etag=True,
)
def get_confirmation(takeoff_id: UUID) -> Response:
    """Read what a confirmed takeoff holds and left

    404 where it is not confirmed.
    """
    document = read_confirmation(database(), account_id(), takeoff_id)
    mark = hashlib.sha256(orjson.dumps(document)).hexdigest()[:16]
    return versioned(mark, lambda: document)


@offcuts.operation(
    "PUT",
    PATH,
    "confirmTakeoff",
    scope=KeyScope.WRITE,
    answer=Confirmation,
    example=examples.CONFIRMATION,
    status=(200, 201),
    problems=(409,),
)
def put_confirmation(takeoff_id: UUID) -> Response:
    """Confirm a takeoff

    The offcuts that its cut lists draw on are reserved for it, and its remainders worth keeping become offcuts, all together or
    nothing of it. 409 names those that other takeoffs hold (`promised`), that were deleted (`gone`) or have another size by now
    (`changed`). Needs no If-Match; confirming again answers 200 and changes nothing.
    """
    document, is_new = confirm_takeoff(database(), account_id(), takeoff_id)
    home = PATH.replace("<uuid:takeoff_id>", str(takeoff_id))
    return json_answer(document, 201 if is_new else 200, {"Location": home} if is_new else {})


@offcuts.operation("DELETE", PATH, "releaseTakeoff", scope=KeyScope.WRITE, status=204, problems=(409,))
def delete_confirmation(takeoff_id: UUID) -> Response:
    """Undo the confirmation of a takeoff

    What it held is available again, the offcuts that it left are deleted; 409 where another takeoff holds one of them meanwhile
    (`promised`). Needs no If-Match; undoing again changes nothing.
    """
    release_takeoff(database(), account_id(), takeoff_id)
    return nothing()
