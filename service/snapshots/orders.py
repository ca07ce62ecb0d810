"""Schedule lines and cut lists as JSON."""

from service.engine.order_results import BarCutList, CutBar, Derivation, OrderEntry, ScheduleLine
from service.engine.results import Member
from service.snapshots.layouts import cut_shape
from service.snapshots.money import money
from service.snapshots.places import Json, offcut_place, room_place, wall_place
from service.vocabulary import UNIT_NAMES, Currency, Objective, UnitCode


def line_document(line: ScheduleLine, currency: Currency | None) -> Json:
    return {
        "component": line.component,
        "description": line.description,
        "unit": UNIT_NAMES[line.unit],
        "unit_code": line.unit,
        "net_quantity": _quantity(line, line.net_quantity),
        "unsupplied_quantity": _quantity(line, line.unsupplied_quantity),
        "waste_quantity": _quantity(line, line.waste_quantity),
        "reusable_quantity": _quantity(line, line.reusable_quantity),
        "allowance_quantity": _quantity(line, line.allowance_quantity),
        "spare_quantity": _quantity(line, line.spare_quantity),
        "ordered_quantity": _quantity(line, line.ordered_quantity),
        "from_offcuts_quantity": _quantity(line, line.from_offcuts_quantity),
        "mass_kg": line.mass_kg,
        "line_price": money(line.line_price_minor, currency),
        "order": [_order(entry, line.unit, currency) for entry in line.order],
        "rooms": [{"room_id": room_place(room), "net_quantity": _quantity(line, net)} for room, net in line.rooms],
        "derivation": [_derivation(derivation) for derivation in line.derivation],
    }


def _quantity(line: ScheduleLine, quantity: float) -> float | int:
    return int(quantity) if line.unit is UnitCode.PIECE else quantity


def _order(entry: OrderEntry, unit: UnitCode, currency: Currency | None) -> Json:
    return {
        "sku": entry.item.sku,
        "description": entry.item.description,
        "stock_length_mm": entry.item.length_mm if unit is UnitCode.METRE else None,
        "width_mm": entry.item.width_mm,
        "length_mm": entry.item.length_mm,
        "needed": entry.needed,
        "allowance": entry.allowance,
        "pack_size": entry.item.pack_size,
        "packs": entry.packs,
        "quantity": entry.quantity,
        "unit_price": money(entry.unit_price_minor, currency),
        "price": money(entry.price_minor, currency),
    }


def _derivation(derivation: Derivation) -> Json:
    return {
        "rules": list(derivation.rules),
        "role": derivation.role,
        "terms": derivation.terms,
        "count": derivation.count,
        "quantity": derivation.quantity,
        "length_mm": derivation.length_mm,
        "room_id": room_place(derivation.room),
        "wall_id": wall_place(derivation.room, derivation.wall),
        "members": list(derivation.members),
    }


def cut_list_document(cut_list: BarCutList, currency: Currency | None) -> Json:
    def amount(cost: object) -> Json:
        if cut_list.objective is Objective.LENGTH:
            return {"stock_mm": cost}
        return {"price": money(cost, currency)}  # type: ignore[arg-type]

    proof = cut_list.certificate
    return {
        "component": cut_list.component,
        "room_id": None if cut_list.room is None else room_place(cut_list.room),
        "objective": cut_list.objective,
        "kerf_mm": cut_list.kerf_mm,
        "status": cut_list.status,
        "lower_bound": amount(cut_list.lower_bound),
        "used": amount(cut_list.used),
        "certificate": None if proof is None else {**proof, "proves": amount(proof["proves"])},
        "bars": [_bar(bar) for bar in cut_list.bars],
        "unplaced": [_cut(member) for member in cut_list.unplaced],
    }


def _bar(bar: CutBar) -> Json:
    return {
        "bar": bar.bar,
        "pattern": bar.pattern,
        "stock_length_mm": bar.item.length_mm,
        "sku": bar.item.sku,
        "from_offcut_id": None if bar.offcut is None else offcut_place(bar.offcut),
        "cuts": [_cut(cut.member) for cut in bar.cuts],
        "remainder_mm": bar.remainder_mm,
        "reusable": bar.reusable,
    }


def _cut(member: Member) -> Json:
    return {
        "label": member.id,
        "member_id": member.id,
        "role": member.role,
        "length_mm": member.length_mm,
        **cut_shape(member),
        "room_id": room_place(member.room),
        "wall_id": wall_place(member.room, member.wall),
    }
