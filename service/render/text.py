"""A takeoff as plain text, for a terminal or a sheet of paper taken to site. At most 100 columns."""

import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from service.finding_codes import Severity
from service.render.text_cutting import cutting_lines
from service.render.text_heat import caution_lines, heat_lines
from service.render.text_places import COLUMNS, Places, heading, wrapped
from service.render.text_sheets import sheet_lines
from service.render.text_walls import wall_lines
from service.vocabulary import COMPONENT_NAMES, Component

Json = Mapping[str, Any]


def takeoff_text(document: Json, survey: Json | None = None, *, title: str | None = None) -> str:
    """The whole takeoff: what to mind, what to order, how to cut, where to put it.

    `document`: a takeoff as it is answered; its parts are shown where they are included. `survey`: the
    survey it was made from, for the names of rooms and walls.
    """
    places = Places(document, survey)
    lines = [*([title, ""] if title else []), *_summary(document), *_findings(document["findings"], places)]
    if "thermal" in document:
        lines += heat_lines(document["thermal"], places)
    if "cautions" in document:
        lines += caution_lines(document["cautions"]["cautions"], places)
    if "schedule" in document:
        lines += [*_order(document["schedule"]["lines"]), *_quantities(document["schedule"]["lines"], places)]
    if "cut_lists" in document:
        lines += cutting_lines(document["cut_lists"]["bars"], places)
        lines += sheet_lines(document["cut_lists"], places)
    if "layouts" in document:
        lines += wall_lines(document["layouts"]["layouts"], places)
    return "\n".join(_printable(line).rstrip() for line in lines) + "\n"


def _printable(line: str) -> str:
    """Names and skus are other people's text: nothing in them may move the cursor."""
    return "".join(character if character.isprintable() else " " for character in line)


def _summary(document: Json) -> list[str]:
    totals = document["totals"]
    lines = [
        f"TAKEOFF {document['id']}",
        f"{totals['rooms']} room{'' if totals['rooms'] == 1 else 's'}, {totals['lined_area_m2']:.1f} m² lined, "
        f"{totals['floor_area_lost_m2']:.2f} m² of floor taken, {totals['mass_kg']:.0f} kg to carry in.",
    ]
    if totals["net_price"] is not None:
        lines.append(f"Net price {_money(totals['net_price'])}.")
    elif totals["unpriced"]:
        lines += wrapped(f"No net price: the range has no price for {_names(totals['unpriced'])}.")
    if totals["unweighed"]:
        lines += wrapped(f"Not weighed: {_names(totals['unweighed'])}.")
    return lines


def _findings(findings: Iterable[Json], places: Places) -> list[str]:
    """By room and wall in survey order, the graver first."""
    rank = {severity.value: k for k, severity in enumerate((Severity.ERROR, Severity.WARNING, Severity.INFO))}
    ordered = sorted(findings, key=lambda found: (*places.order(found["room_id"], found["wall_id"]), rank[found["severity"]]))
    if not ordered:
        return [*heading("Findings"), "None."]
    lines = heading("Findings")
    room = wall = object()
    for found in ordered:
        if found["room_id"] != room:
            room, wall = found["room_id"], object()
            lines.append(places.room(found["room_id"]) if found["room_id"] else "The whole job")
        if found["wall_id"] != wall:
            wall = found["wall_id"]
            if wall:
                lines.append(f"  {places.wall(found['wall_id'])}")
        lines += wrapped(f"{found['severity'].upper():7}  {found['message']}", first="    ", rest=" " * 13)
    return lines


def _order(lines: Sequence[Json]) -> list[str]:
    """Prices where there are any; a sku where items have one."""
    entries = [entry for line in lines for entry in line["order"]]
    skus = any(entry["sku"] for entry in entries)
    prices = any(entry["unit_price"] for entry in entries)
    table = _table(
        "Component",
        "Size",
        *(["Sku"] if skus else []),
        "Needed",
        "Spare",
        "Packs",
        "Order",
        *(["Each", "Price"] if prices else []),
    )
    for line in lines:
        if not line["order"]:
            _add_row(table, line["description"], "all from offcuts" if line["from_offcuts_quantity"] else "none in the range")
        for entry in line["order"]:
            _add_row(
                table,
                line["description"],
                _stock_size(entry),
                *([entry["sku"] or ""] if skus else []),
                str(entry["needed"]),
                str(entry["quantity"] - entry["needed"] or ""),
                f"{entry['packs']} × {entry['pack_size']}" if entry["pack_size"] > 1 else "",
                str(entry["quantity"]),
                *([_money(entry["unit_price"]), _money(entry["price"])] if prices else []),
            )
    return heading("To order") + _printed(table)


def _stock_size(entry: Json) -> str:
    if entry["width_mm"] and entry["length_mm"]:
        return f"{entry['width_mm']} × {entry['length_mm']} mm"
    return f"{entry['length_mm']} mm" if entry["length_mm"] else ""


def _quantities(lines: Iterable[Json], places: Places) -> list[str]:
    lines = list(lines)
    names = ["net", "waste", "reusable", "allowance", "spare", "ordered"]
    if any(line["from_offcuts_quantity"] for line in lines):
        names.append("from_offcuts")
    table = _table("Component", "", *(name.replace("_", " ").capitalize() for name in names), "kg")
    by_room = []
    for line in lines:
        quantities = (line[f"{name}_quantity"] for name in names)
        mass = "" if line["mass_kg"] is None else f"{line['mass_kg']:.1f}"
        _add_row(table, line["description"], line["unit"], *(_number(quantity) for quantity in quantities), mass)
        if len(line["rooms"]) > 1:
            shares = ", ".join(
                f"{places.room_label(share['room_id'])}: {_number(share['net_quantity'])}" for share in line["rooms"]
            )
            by_room += wrapped(f"{line['description']} ({line['unit']}): {shares}", first="  ", rest="    ")
    return heading("Quantities") + _printed(table) + (["Net, room by room:", *by_room] if by_room else [])


def _table(*columns: str) -> Table:
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1), pad_edge=False, show_edge=False)
    for column in columns:
        words = column in ("Component", "Size", "Sku", "")
        table.add_column(column, justify="left" if words else "right", overflow="fold")
    return table


def _add_row(table: Table, *cells: str) -> None:
    table.add_row(*(Text(cell) for cell in cells))  # as it is: square brackets in a sku are no markup


def _printed(table: Table) -> list[str]:
    console = Console(file=io.StringIO(), width=COLUMNS, color_system=None, highlight=False, force_terminal=False)
    console.print(table)
    return str(console.file.getvalue()).rstrip("\n").split("\n")  # type: ignore[attr-defined]


def _money(money: Json | None) -> str:
    return "" if money is None else f"{money['amount']} {money['currency']}"


def _number(quantity: float) -> str:
    return str(quantity) if isinstance(quantity, int) else f"{quantity:.2f}"


def _names(components: Iterable[str]) -> str:
    return ", ".join(COMPONENT_NAMES[Component(component)] for component in components)
