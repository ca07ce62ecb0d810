"""Two takeoffs beside each other: what the second needs more and less of than the first, and what of which wall changed.

Only what differs is listed. A `difference` is the figure after less the figure before, exactly as the two are shown, so that a
comparison read the other way round is the same with every sign turned.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from service.snapshots.compare_walls import Need, Needs, Side, walls_document
from service.snapshots.differences import members_that_differ, money_pair, number_pair
from service.snapshots.fill import RANK
from service.snapshots.places import Json
from service.vocabulary import ComparedGroup

LINE_QUANTITIES = (
    "net_quantity",
    "unsupplied_quantity",
    "waste_quantity",
    "reusable_quantity",
    "allowance_quantity",
    "spare_quantity",
    "ordered_quantity",
    "from_offcuts_quantity",
)
ORDER_QUANTITIES = ("needed", "allowance", "packs", "quantity")
ORDER_SIZES = ("stock_length_mm", "length_mm", "width_mm")
TOTALS = ("rooms", "lined_area_m2", "floor_area_lost_m2", "mass_kg")


@dataclass(frozen=True, slots=True)
class Compared:
    """One side. `totals`, `lines`, `inputs`: as they are answered, ids filled in. `lines` and `inputs` are called for only where
    the digests differ.

    `same_as`: what an id is known by on the other side, where that is not the id itself.
    """

    about: Json
    totals: Json
    lines: Callable[[], Sequence[Json]]
    inputs: Callable[[], Json]
    same_as: Mapping[str, str]


def compare(before: Compared, after: Compared) -> Json:
    """Totals, and what differs in settings, schedule lines, orders and walls. Equal digests: nothing differs, nothing is read."""
    equal = before.about["digest"] == after.about["digest"]
    totals = {
        **{name: number_pair(before.totals[name], after.totals[name]) for name in TOTALS},
        "net_price": money_pair(before.totals["net_price"], after.totals["net_price"]),
    }
    document = {"equal": equal, "before": before.about, "after": after.about, "totals": totals}
    if equal:
        none: Json = {"added": [], "removed": [], "changed": []}
        return {**document, "settings": [], "lines": [], "adds": [], "saves": [], "walls": none}
    old_lines, new_lines = before.lines(), after.lines()
    lines = _lines(old_lines, new_lines)
    old_inputs, new_inputs = before.inputs(), after.inputs()
    return {
        **document,
        "settings": _settings(old_inputs, new_inputs),
        "lines": lines,
        "adds": _changed_orders(lines, 1),
        "saves": _changed_orders(lines, -1),
        "walls": walls_document(
            Side(old_inputs["survey"]["rooms"], _by_wall(old_lines), before.same_as),
            Side(new_inputs["survey"]["rooms"], _by_wall(new_lines), after.same_as),
        ),
    }


def _lines(old: Sequence[Json], new: Sequence[Json]) -> list[Json]:
    before, after = ({line["component"]: line for line in lines} for lines in (old, new))
    named = sorted(before.keys() | after.keys(), key=lambda component: RANK[component])
    lines = [_line(before.get(component), after.get(component)) for component in named]
    return [line for line in lines if line is not None]


def _line(old: Json | None, new: Json | None) -> Json | None:
    """A component that is on one side only was none of it, free of charge, on the other. None where nothing differs."""
    known = new or old or {}
    quantities = {name: number_pair(*(0 if line is None else line[name] for line in (old, new))) for name in LINE_QUANTITIES}
    mass = number_pair(*(0 if line is None else line["mass_kg"] for line in (old, new)))
    price = money_pair(*_prices(old, new, "line_price"))
    order = _orders(() if old is None else old["order"], () if new is None else new["order"])
    if not order and all(pair["before"] == pair["after"] for pair in (*quantities.values(), mass, price)):
        return None
    return {
        **{name: known[name] for name in ("component", "description", "unit", "unit_code")},
        **quantities,
        "mass_kg": mass,
        "line_price": price,
        "order": order,
    }


def _orders(old: Iterable[Json], new: Iterable[Json]) -> list[Json]:
    before, after = ({_item(entry): entry for entry in entries} for entries in (old, new))
    orders = []
    for key in sorted(before.keys() | after.keys(), key=_item_order):
        was, now = before.get(key), after.get(key)
        counts = {name: number_pair(*(0 if entry is None else entry[name] for entry in (was, now))) for name in ORDER_QUANTITIES}
        prices = {
            "unit_price": money_pair(None if was is None else was["unit_price"], None if now is None else now["unit_price"]),
            "price": money_pair(*_prices(was, now, "price")),
        }
        if any(pair["before"] != pair["after"] for pair in (*counts.values(), *prices.values())):
            orders.append({**dict(zip(("sku", *ORDER_SIZES), key, strict=True)), **counts, **prices})
    return orders


def _item(entry: Json) -> tuple[Any, ...]:
    return (entry["sku"], *(entry[name] for name in ORDER_SIZES))


def _item_order(key: tuple[Any, ...]) -> tuple[Any, ...]:
    sku, *sizes = key
    return (sku or "", *(size or 0 for size in sizes))


def _prices(old: Json | None, new: Json | None, name: str) -> tuple[Json | None, Json | None]:
    """Nothing of a thing costs nothing, in the currency of the other side."""
    was, now = (None if thing is None else thing[name] for thing in (old, new))
    if old is None and now is not None:
        was = {**now, "amount": "0.00"}
    if new is None and was is not None:
        now = {**was, "amount": "0.00"}
    return was, now


def _changed_orders(lines: Iterable[Json], sign: int) -> list[Json]:
    """What is ordered more of (1) or less of (-1), in pieces and, where both prices are known, in money."""
    changed = []
    for line in lines:
        for entry in line["order"]:
            pieces = entry["quantity"]["difference"]
            if pieces * sign > 0:
                price = entry["price"]["difference"]
                sizes = {name: entry[name] for name in ("sku", *ORDER_SIZES)}
                amount = None if price is None else {**price, "amount": _times(price["amount"], sign)}
                changed.append({"component": line["component"], **sizes, "quantity": pieces * sign, "price": amount})
    return changed


def _times(amount: str, sign: int) -> str:
    return str(Decimal(amount) * sign + 0)


def _settings(old: Json, new: Json) -> list[Json]:
    """Parameters, components of roles, options and allowances that differ, in the order of the inputs."""
    was, now = ({**inputs, "allowances": inputs["options"]["allowances"]} for inputs in (old, new))
    return [
        {"group": group.value, **entry}
        for group in ComparedGroup
        for entry in members_that_differ(was[group], now[group])
        if entry["member"] != "allowances"
    ]


def _by_wall(lines: Iterable[Json]) -> Mapping[str, Needs]:
    """Net quantities by wall and component, from where each line says that it comes from."""
    walls: dict[str, dict[str, Need]] = defaultdict(dict)
    for line in lines:
        sums: dict[str, Decimal] = defaultdict(Decimal)
        for part in line["derivation"]:
            sums[part["wall_id"]] += Decimal(str(part["quantity"]))
        for wall, quantity in sums.items():
            walls[wall][line["component"]] = Need(float(quantity), line["unit"], line["unit_code"])
    return walls
