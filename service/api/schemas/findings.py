"""Findings: what a person should know about a survey or a takeoff."""

from functools import partial

from service.api.fields import Id, Str, Word
from service.api.schemas.family import Answer, answered, sometimes
from service.finding_codes import FindingCode, Severity
from service.vocabulary import Component


class Finding(Answer):
    """One thing worth knowing, with its figures, and where it is."""

    code = answered(Str, f"A stable code; today one of: {', '.join(FindingCode)}.")
    severity = answered(partial(Word, Severity), "How much it matters.")
    message = answered(Str, "A sentence with the figures.")
    room_id = sometimes(Id, "The room it is about.", allow_none=True)
    wall_id = sometimes(Id, "The wall it is about.", allow_none=True)
    opening_id = sometimes(Id, "The opening it is about.", allow_none=True)
    component = sometimes(partial(Word, Component), "The component it is about.", allow_none=True)
