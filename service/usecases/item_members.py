"""A catalogue item's members: a price is money in JSON and minor units in the table; the component says which sizes it needs."""

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from service.errors import Fault
from service.store.models import CatalogueItem
from service.store.rules import Number, Word, plain_number
from service.usecases.checking import read_member, refuse_unknown
from service.vocabulary import Component, Currency

MINOR_PLACES = 2
"""Decimal places of a minor unit: the same for every currency of the list."""
_AMOUNT = re.compile(rf"[0-9]{{1,12}}(\.[0-9]{{1,{MINOR_PLACES}}}0*)?", re.ASCII)
_COLUMNS = {name: column for name, column in CatalogueItem.fields().items() if name != "catalogue_id"}
_BARS = ("length_mm",)
_AREAS = ("width_mm", "length_mm")
SIZES_NEEDED = {
    Component.C_STUD: _BARS,
    Component.U_CHANNEL: _BARS,
    Component.INSULATION_ROLL: _AREAS,
    Component.VCL_MEMBRANE: _AREAS,
    Component.PLASTERBOARD: _AREAS,
    Component.INSULATED_LAMINATE: _AREAS,
}
"""What is cut cannot be planned without these."""


def read_item(data: Mapping[str, Any], at: str, faults: list[Fault]) -> dict[str, Any]:
    """Whether the price is in the catalogue's currency is for whoever knows the catalogue."""
    refuse_unknown(data, [*_COLUMNS, "price"], at, faults)
    values = {name: read_member(data, name, column.info, at, faults) for name, column in _COLUMNS.items()}
    for size in SIZES_NEEDED.get(values["component"], ()):
        if data.get(size) is None:
            faults.append(Fault(f"{at}/{size}", f"A {values['component']} needs it: pieces are cut from it.", "required"))
    minor, currency = _read_price(data.get("price"), f"{at}/price", faults)
    return {**values, "price_minor": minor, "price_currency": currency}


def _read_price(data: Any, at: str, faults: list[Fault]) -> tuple[int | None, str | None]:
    if data is None:
        return None, None
    if not isinstance(data, Mapping):
        faults.append(Fault(at, "Must be an object with amount and currency.", "wrong_type"))
        return None, None
    refuse_unknown(data, ("amount", "currency"), at, faults)
    currency = read_member(data, "currency", {"rule": Word(Currency)}, at, faults)
    amount = data.get("amount")
    if not isinstance(amount, str) or not _AMOUNT.fullmatch(amount):
        text = f"Must be a decimal number as text, with at most {MINOR_PLACES} places, such as 12.34."
        faults.append(Fault(f"{at}/amount", text, "invalid"))
        return None, currency
    return int(Decimal(amount).scaleb(MINOR_PLACES)), currency


def show_item(values: Mapping[str, Any]) -> dict[str, Any]:
    members = {}
    for name, column in _COLUMNS.items():
        value = values[name]
        members[name] = plain_number(value) if value is not None and isinstance(column.info["rule"], Number) else value
    minor = values["price_minor"]
    price = None
    if minor is not None:
        amount = f"{Decimal(minor).scaleb(-MINOR_PLACES):.{MINOR_PLACES}f}"
        price = {"amount": amount, "currency": values["price_currency"]}
    return {**members, "price": price}
