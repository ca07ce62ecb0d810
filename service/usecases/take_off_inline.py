"""Takes off a survey that comes with the request; nothing is stored but the takeoff."""

from collections.abc import Collection, Mapping
from typing import Any
from uuid import UUID

from service.store.database import Database
from service.usecases.make_takeoff import make_takeoff
from service.usecases.read_takeoff import read_takeoff
from service.vocabulary import TakeoffPart


def take_off_inline(
    database: Database, account_id: UUID, request: Mapping[str, Any], include: Collection[TakeoffPart] = ()
) -> tuple[dict[str, Any], float | None]:
    """The new takeoff's document, with the parts in `include`, and the seconds that computing took; None where the result of an
    equal one was shared.

    `request`: `survey`, and where given `specification_id`, `specification`, `catalogue_id`, `options`.

    Raises:
        Invalid: by pointer into the request, `#/survey/rooms/0/…` and `#/specification/…`; ids that stand for nothing.
        GeometryInvalid: the survey cannot be taken off as measured; one entry for each fault.
    """
    takeoff_id, seconds = make_takeoff(database, account_id, request, None)
    return read_takeoff(database, account_id, takeoff_id, include), seconds
