"""The layout of a wall as JSON: positions to 0.1 mm (rule Q0)."""

from dataclasses import fields

from service.engine.inputs import Feature, Item, Opening, Room, Wall
from service.engine.results import Bracket, FrameLine, Member, WallLayout
from service.engine.units import tenth
from service.snapshots.flat import junction_document, piece_document, usage_document
from service.snapshots.places import Json, feature_place, opening_place, room_place, wall_place


def layout_document(layout: WallLayout, room: Room) -> Json:
    wall = room.walls[layout.wall - 1]
    return {
        "room_id": room_place(layout.room),
        "wall_id": wall_place(layout.room, layout.wall),
        "label": wall_place(layout.room, layout.wall),
        "wall": {
            "length_mm": wall.length_mm,
            "height_left_mm": wall.height_left_mm,
            "height_right_mm": wall.height_right_mm,
            "floor_left_mm": wall.floor_left_mm,
            "floor_right_mm": wall.floor_right_mm,
        },
        "frame": _frame(layout.frame),
        "members": [_member(member) for member in layout.members],
        "brackets": [_bracket(bracket) for bracket in layout.brackets],
        "fixings": [
            {
                "component": fixings.component,
                "role": fixings.role,
                "count": fixings.count,
                "terms": fixings.terms,
                "members": list(fixings.members),
                "rules": list(fixings.rules),
            }
            for fixings in layout.fixings
        ],
        "boards": [piece_document(piece) for piece in layout.boards],
        "reveals": [piece_document(piece) for piece in layout.reveals],
        "insulation": [piece_document(piece) for piece in layout.insulation],
        "membrane": [piece_document(piece) for piece in layout.membrane],
        "usages": [usage_document(usage) for usage in layout.usages],
        "junctions": [junction_document(junction) for junction in layout.junctions],
        "openings": openings(layout.room, layout.wall, wall),
        "features": features(layout.room, layout.wall, wall),
    }


def _frame(frame: FrameLine) -> Json:
    return {
        "x0_mm": tenth(frame.x0_mm),
        "x1_mm": tenth(frame.x1_mm),
        "channel_x0_mm": tenth(frame.channel_x0_mm),
        "channel_x1_mm": tenth(frame.channel_x1_mm),
        "finished_x0_mm": tenth(frame.finished_x0_mm),
        "finished_x1_mm": tenth(frame.finished_x1_mm),
        "offset_mm": tenth(frame.offset_mm),
        "finished_face_mm": tenth(frame.finished_face_mm),
        "left": frame.left,
        "right": frame.right,
        "right_runs_through": frame.right_runs_through,
    }


def _member(member: Member) -> Json:
    encoded: Json = {
        "id": member.id,
        "label": member.id,
        "role": member.role,
        "component": member.component,
        "x_mm": tenth(member.x_mm),
        "y_mm": tenth(member.y_mm),
        "length_mm": member.length_mm,
        "direction": member.direction,
        **cut_shape(member),
        "rules": list(member.rules),
    }
    if member.y_end_mm is not None:
        encoded["y_end_mm"] = tenth(member.y_end_mm)
    if member.joined_to is not None:
        encoded["joined_to"] = member.joined_to
    return encoded


def _bracket(bracket: Bracket) -> Json:
    return {
        "id": bracket.id,
        "x_mm": tenth(bracket.x_mm),
        "y_mm": tenth(bracket.y_mm),
        "member_id": bracket.member_id,
        "rail_id": bracket.rail_id,
        "projection_mm": tenth(bracket.projection_mm),
        "rules": list(bracket.rules),
    }


def cut_shape(member: Member) -> Json:
    """What a cut needs beside its length, where it is not a plain square one."""
    shape: Json = {}
    if member.splay_start_deg or member.splay_end_deg:
        shape |= {"splay_start_deg": tenth(member.splay_start_deg), "splay_end_deg": tenth(member.splay_end_deg)}
    if member.fold_marks_mm:
        shape["fold_marks_mm"] = list(member.fold_marks_mm)
    return shape


def openings(room: int, wall: int, of: Wall) -> list[Json]:
    return [{"id": opening_place(room, wall, k), **members_of(opening)} for k, opening in enumerate(of.openings, 1)]


def features(room: int, wall: int, of: Wall) -> list[Json]:
    return [{"id": feature_place(room, wall, k), **members_of(feature)} for k, feature in enumerate(of.features, 1)]


def members_of(thing: Opening | Feature | Wall | Room | Item, *left_out: str) -> Json:
    return {field.name: getattr(thing, field.name) for field in fields(thing) if field.name not in left_out}
