"""Money: a decimal as text, so that no float comes near it, and its currency."""

from functools import partial
from typing import Any

import marshmallow as ma

from service.api.fields import Matches, Part, Str, Word
from service.api.schemas.family import Answer, Request, answered
from service.vocabulary import Currency

_AMOUNT = r"[0-9]{1,12}(\.[0-9]{1,2}0*)?"


class MoneyGiven(Request):
    """An amount of money."""

    amount = Str(
        required=True,
        validate=Matches(rf"^{_AMOUNT}$", "Must be a decimal number as text with at most two places, such as 12.34."),
        metadata={"description": "A decimal number as text, with at most two places."},
    )
    currency = Word(Currency, required=True, metadata={"description": "ISO 4217 code."})


class Money(Answer):
    """An amount of money."""

    amount = answered(Str, "A decimal number as text.")
    currency = answered(partial(Word, Currency), "ISO 4217 code.")


def money_field(**kwargs: Any) -> ma.fields.Field[Any]:
    return Part(Money if kwargs.get("dump_only") else MoneyGiven, **kwargs)
