"""Money as it stands in JSON: decimal text and a currency."""

from decimal import Decimal

from service.vocabulary import Currency

MINOR_PER_MAJOR = 100
"""True of every currency in the vocabulary."""


def money(minor: int | Decimal | None, currency: Currency | None) -> dict[str, str] | None:
    """Decimal text with two places, more only where a price of one piece needs them."""
    if minor is None or currency is None:
        return None
    amount = Decimal(minor) / MINOR_PER_MAJOR
    exponent = amount.normalize().as_tuple().exponent
    places = max(2, -exponent) if isinstance(exponent, int) else 2
    return {"amount": f"{amount:.{places}f}", "currency": currency}
