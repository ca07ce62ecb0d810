"""Two figures and what lies between them, exactly as the figures are shown."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from service.snapshots.places import Json

Number = int | float

SameAs = tuple[Mapping[str, str], Mapping[str, str]]
"""For each side, what an id is known by on the other side, where that is not the id itself."""


def number_pair(before: Number | None, after: Number | None) -> Json:
    """`{"before", "after", "difference"}`; the difference is null where one of them is not known."""
    known = before is not None and after is not None
    return {"before": before, "after": after, "difference": difference(before, after) if known else None}  # type: ignore[arg-type]


def money_pair(before: Json | None, after: Json | None) -> Json:
    """The same of amounts of money; amounts of two currencies have no difference."""
    if before is None or after is None or before["currency"] != after["currency"]:
        return {"before": before, "after": after, "difference": None}
    amount = Decimal(after["amount"]) - Decimal(before["amount"])
    return {"before": before, "after": after, "difference": {"amount": str(amount + 0), "currency": after["currency"]}}


def difference(before: Number, after: Number) -> Number:
    """In decimal, so that 0.3 less 0.1 is 0.2; whole where it is."""
    exact = Decimal(str(after)) - Decimal(str(before))
    return int(exact) if exact == exact.to_integral_value() else float(exact)


def members_that_differ(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Json]:
    """`{"member", "before", "after"}` of each; one that a side lacks is null there."""
    return [
        {"member": name, "before": before.get(name), "after": after.get(name)}
        for name in dict.fromkeys((*before, *after))
        if before.get(name) != after.get(name)
    ]


def apart(before: Iterable[Json], after: Iterable[Json], same_as: SameAs) -> Json:
    """`added`, `removed`: those that only one side has; `kept`: pairs of those that both have. Each in its side's order.

    Things are matched by `id`, or by what it is known by.
    """
    old = {same_as[0].get(thing["id"], thing["id"]): thing for thing in before}
    new = {same_as[1].get(thing["id"], thing["id"]): thing for thing in after}
    return {
        "added": [thing for key, thing in new.items() if key not in old],
        "removed": [thing for key, thing in old.items() if key not in new],
        "kept": [(thing, new[key]) for key, thing in old.items() if key in new],
    }
