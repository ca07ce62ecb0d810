"""Offcuts: pieces left of earlier work; and what confirming a takeoff does to them."""

from functools import partial

from service.api.fields import Between, Id, Int, Length, ListOf, Num, Str, Time, Word
from service.api.schemas.family import Answer, Member, Members, answered, family
from service.vocabulary import Component, OffcutState

OFFCUT: Members = {
    "component": Member(
        make=partial(Word, Component), text="What it is left of: bars, boards, laminate or rolls.", required=True
    ),
    "sku": Member(
        make=partial(Str, validate=Length(1, 100)), text="Its article number, for people.", nullable=True, default=None
    ),
    "length_mm": Member(make=partial(Int, validate=Between(1, 1_000_000)), text="Its length.", required=True),
    "width_mm": Member(
        make=partial(Int, validate=Between(1, 100_000)),
        text="Its width, across what it is left of; of boards, laminate and rolls, which need it. Bars have none.",
        nullable=True,
        default=None,
    ),
    "thickness_mm": Member(
        make=partial(Num, validate=Between(0.01, 1000)),
        text="Its thickness; null: whatever is asked for.",
        nullable=True,
        default=None,
    ),
    "note": Member(make=partial(Str, validate=Length(1, 1000)), text="Where it lies, or anything.", nullable=True, default=None),
}
TOLD: Members = {
    "state": Member(make=partial(Word, OffcutState), text="Whether a takeoff holds it."),
    "takeoff_id": Member(make=Id, text="The confirmed takeoff that holds it; null: none.", nullable=True),
    "from_takeoff_id": Member(make=Id, text="The confirmed takeoff that leaves it; null: none, it was entered.", nullable=True),
}
Offcut = family("Offcut", "One piece that is kept and can be cut from", OFFCUT, server_sets=TOLD)


class Confirmation(Answer):
    """What a takeoff holds and leaves, once it is confirmed."""

    takeoff_id = answered(Id, "The takeoff.")
    confirmed_at = answered(Time, "When it was confirmed, RFC 3339 in UTC.")
    reserved = answered(partial(ListOf, Id()), "The offcuts that it is cut from, held for it.")
    made = answered(partial(ListOf, Id()), "The offcuts that its remainders worth keeping became.")
