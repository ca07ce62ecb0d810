"""Boards, linings, insulation and membrane as JSON: where each piece goes, and off which sheet or roll it comes."""

from decimal import Decimal

from service.engine.order_results import CutSheet, FlatCutList, PlacedPiece
from service.engine.results import CutOut, FlatPiece, Junction, Usage
from service.engine.units import tenth
from service.snapshots.money import money
from service.snapshots.places import Json, feature_place, offcut_place, opening_place, room_place, wall_place
from service.vocabulary import UNIT_NAMES, Currency, Objective

MM2_PER_M2 = 1e6


def piece_document(piece: FlatPiece) -> Json:
    encoded: Json = {
        "id": piece.id,
        "label": piece.id,
        "role": piece.role,
        "component": piece.component,
        "x_mm": tenth(piece.x_mm),
        "y_mm": tenth(piece.y_mm),
        "width_mm": piece.width_mm,
        "length_mm": piece.length_mm,
        "layer": piece.layer,
        "height_left_mm": tenth(piece.height_left_mm),
        "height_right_mm": tenth(piece.height_right_mm),
        "cut_outs": [_cut_out(cut, piece.room) for cut in piece.cut_outs],
        "area_m2": round(piece.area_mm2 / MM2_PER_M2, 6),
        "rules": list(piece.rules),
    }
    if piece.foot_left_mm or piece.foot_right_mm:
        encoded |= {"foot_left_mm": tenth(piece.foot_left_mm), "foot_right_mm": tenth(piece.foot_right_mm)}
    if piece.bevel_left_mm or piece.bevel_right_mm:
        encoded |= {"bevel_left_mm": tenth(piece.bevel_left_mm), "bevel_right_mm": tenth(piece.bevel_right_mm)}
    if piece.outline_mm:
        encoded["outline_mm"] = [[tenth(x), tenth(y)] for x, y in piece.outline_mm]
    if piece.opening is not None:
        encoded["opening_id"] = opening_place(piece.room, piece.wall, piece.opening)
    return encoded


def _cut_out(cut: CutOut, room: int) -> Json:
    """Its origin from the piece's lower left corner."""
    return {
        "x_mm": tenth(cut.x_mm),
        "y_mm": tenth(cut.y_mm),
        "width_mm": tenth(cut.width_mm),
        "height_mm": tenth(cut.height_mm),
        "diameter_mm": None if cut.diameter_mm is None else tenth(cut.diameter_mm),
        "feature_id": None if cut.feature is None else feature_place(room, *cut.feature),
        "rules": list(cut.rules),
    }


def usage_document(usage: Usage) -> Json:
    return {
        "component": usage.component,
        "where": usage.where,
        "quantity": round(usage.quantity, 6),
        "unit": UNIT_NAMES[usage.unit],
        "unit_code": usage.unit,
        "terms": usage.terms,
        "layer": usage.layer,
        "members": list(usage.members),
        "rules": list(usage.rules),
    }


def junction_document(junction: Junction) -> Json:
    opening = junction.opening
    return {
        "kind": junction.kind,
        "fixing": junction.fixing,
        "seal": junction.seal,
        "trim": junction.trim,
        "opening_id": None if opening is None else opening_place(junction.room, junction.wall, opening),
    }


def flat_cut_list_document(cut_list: FlatCutList, currency: Currency | None) -> Json:
    def amount(cost: int | Decimal) -> Json:
        return {"count": cost} if cut_list.objective is Objective.COUNT else {"price": money(cost, currency)}

    return {
        "component": cut_list.component,
        "room_id": None if cut_list.room is None else room_place(cut_list.room),
        "objective": cut_list.objective,
        "status": cut_list.status,
        "bound": cut_list.bound,
        "lower_bound": amount(cut_list.lower_bound),
        "used": amount(cut_list.used),
        "sheets": [_sheet(sheet) for sheet in cut_list.sheets],
        "unplaced": [_unplaced(piece) for piece in cut_list.unplaced],
    }


def _sheet(sheet: CutSheet) -> Json:
    return {
        "sheet": sheet.sheet,
        "pattern": sheet.pattern,
        "width_mm": sheet.item.width_mm,
        "length_mm": sheet.item.length_mm,
        "sku": sheet.item.sku,
        "from_offcut_id": None if sheet.offcut is None else offcut_place(sheet.offcut),
        "cuts": [
            {"x_mm": tenth(c.x_mm), "y_mm": tenth(c.y_mm), "direction": c.direction, "length_mm": tenth(c.length_mm)}
            for c in sheet.cuts
        ],
        "pieces": [_placed(placed) for placed in sheet.pieces],
        "remainders": [
            {
                "x_mm": tenth(r.x_mm),
                "y_mm": tenth(r.y_mm),
                "width_mm": tenth(r.width_mm),
                "length_mm": tenth(r.length_mm),
                "reusable": r.reusable,
            }
            for r in sheet.remainders
        ],
    }


def _placed(placed: PlacedPiece) -> Json:
    """As it lies on the sheet: a turned piece's width runs along the sheet."""
    piece = placed.piece
    width, length = (piece.length_mm, piece.width_mm) if placed.turned else (piece.width_mm, piece.length_mm)
    return {
        "label": piece.id,
        "piece_id": piece.id,
        "x_mm": tenth(placed.x_mm),
        "y_mm": tenth(placed.y_mm),
        "width_mm": width,
        "length_mm": length,
        "turned": placed.turned,
        "cut_outs": [_cut_out(cut, piece.room) for cut in piece.cut_outs],
        **_of(piece),
    }


def _unplaced(piece: FlatPiece) -> Json:
    return {"label": piece.id, "piece_id": piece.id, "width_mm": piece.width_mm, "length_mm": piece.length_mm, **_of(piece)}


def _of(piece: FlatPiece) -> Json:
    return {"room_id": room_place(piece.room), "wall_id": wall_place(piece.room, piece.wall)}
