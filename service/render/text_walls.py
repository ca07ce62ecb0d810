"""Each wall as it is set out on site: the lines to snap on the floor, studs from the left-hand corner, rails and channels."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from service.render.text_places import Places, heading, mm, wrapped
from service.vocabulary import RAIL_ROLES, STUD_ROLES, Direction, Role

Json = Mapping[str, Any]

CHANNELS = {
    Role.FLOOR_CHANNEL: "Floor",
    Role.CEILING_CHANNEL: "Ceiling",
    Role.CORNER_PROFILE: "Corner",
    Role.STOP_END_CHANNEL: "Stop end",
    Role.HEAD_TRIM: "Head trim",
    Role.SILL_TRIM: "Sill trim",
    Role.JOINT_STRAP: "Strap",
}
SHORT = {Role.END_STUD: "end", Role.JAMB_STUD: "jamb", Role.EXTRA_STUD: "extra", Role.SHORT_STUD: "short"}


def wall_lines(layouts: Sequence[Json], places: Places) -> list[str]:
    lines = heading("Walls")
    lines += wrapped("All lengths in mm. Distances along a wall run from its left-hand masonry corner, as one faces it.")
    room = None
    for layout in layouts:
        if layout["room_id"] != room:
            room = layout["room_id"]
            lines += ["", places.room(room)]
        lines += _wall(layout, places)
    return lines


def _wall(layout: Json, places: Places) -> list[str]:
    wall, frame = layout["wall"], layout["frame"]
    heights = {mm(wall["height_left_mm"]), mm(wall["height_right_mm"])}
    high = heights.pop() if len(heights) == 1 else f"{mm(wall['height_left_mm'])} to {mm(wall['height_right_mm'])}"
    lines = ["", f"  {places.wall(layout['wall_id'])}: {mm(wall['length_mm'])} long, {high} high"]
    lines += _item(
        "Snap",
        f"frame line {mm(frame['offset_mm'])} off the masonry, from {mm(frame['channel_x0_mm'])} to "
        f"{mm(frame['channel_x1_mm'])}; finished face {mm(frame['finished_face_mm'])} off it, from "
        f"{mm(frame['finished_x0_mm'])} to {mm(frame['finished_x1_mm'])}",
    )
    through = "; the boards of this wall run through on the right" if frame["right_runs_through"] else ""
    lines += _item("Ends", f"left {_words(frame['left'])}, right {_words(frame['right'])}{through}")
    for opening in layout["openings"]:
        lines += _item(
            _words(opening["kind"]).capitalize(),
            f"{mm(opening['offset_mm'])} to {mm(opening['offset_mm'] + opening['width_mm'])}, sill "
            f"{mm(opening['sill_mm'])}, head {mm(opening['sill_mm'] + opening['height_mm'])}",
        )
    members = layout["members"]
    lines += _item("Studs at", ", ".join(_stud(member) for member in _from_left(members, STUD_ROLES - {Role.SHORT_STUD})))
    lines += _item("Short", _short_studs(_from_left(members, {Role.SHORT_STUD})))
    lines += _item("Rails", _rails(_from_left(members, RAIL_ROLES)))
    for role in Role:
        if role not in STUD_ROLES | RAIL_ROLES:
            lines += _item(CHANNELS.get(role, role.value), "; ".join(_channel(m) for m in _from_left(members, {role})))
    lines += _item("Brackets", _brackets(layout["brackets"]))
    for name, kind in (("Insulate", "insulation"), ("Membrane", "membrane"), ("Boards", "boards"), ("Reveals", "reveals")):
        lines += _item(name, "; ".join(_flat(piece) for piece in layout[kind]))
    return lines


def _flat(piece: Json) -> str:
    """04a 600 × 900 at 1200, 10 up: number, size, and where its lower left corner goes."""
    number = piece["label"].rpartition("-")[2]
    layer = f" layer {piece['layer']}" if piece["layer"] > 1 else ""
    role = f"{_words(piece['role'])} " if piece["role"] not in ("board", "insulation") else ""
    size = f"{mm(piece['width_mm'])} × {mm(piece['length_mm'])}"
    edges = ""
    if abs(piece["height_left_mm"] - piece["height_right_mm"]) >= 1:
        edges = f", edges {mm(piece['height_left_mm'])} and {mm(piece['height_right_mm'])}"
    return f"{role}{number}{layer} {size}{edges} at {mm(piece['x_mm'])}, {mm(piece['y_mm'])} up"


def _item(name: str, text: str) -> list[str]:
    return wrapped(f"{name:9} {text}", first="    ", rest=" " * 14) if text else []


def _from_left(members: Sequence[Json], roles: "frozenset[Role] | set[Role]") -> list[Json]:
    return sorted((m for m in members if m["role"] in roles), key=lambda m: (m["x_mm"], m["y_mm"], m["id"]))


def _stud(member: Json) -> str:
    word = SHORT.get(Role(member["role"]))
    return mm(member["x_mm"]) + (f" {word}" if word else "")


def _short_studs(members: Sequence[Json]) -> str:
    """By line: 1300 (0 to 890, 2100 to 2490)."""
    lines = []
    for x, group in groupby(members, key=lambda member: member["x_mm"]):
        spans = ", ".join(f"{mm(m['y_mm'])} to {mm(m['y_mm'] + m['length_mm'])}" for m in group)
        lines.append(f"{mm(x)} ({spans})")
    return ", ".join(lines)


def _rails(members: Sequence[Json]) -> str:
    """By height of the underside."""
    heights = []
    for (y, role), group in groupby(sorted(members, key=lambda m: (m["y_mm"], m["role"])), key=lambda m: (m["y_mm"], m["role"])):
        spans = ", ".join(f"{mm(m['x_mm'])} to {mm(m['x_mm'] + m['length_mm'])}" for m in group)
        heights.append(f"{mm(y)} up{'' if role == Role.RAIL else f' ({_words(role)})'}: {spans}")
    return "; ".join(heights)


def _channel(member: Json) -> str:
    """A level one by its left end, an upright one by its centre line."""
    marks = member.get("fold_marks_mm")
    folds = f", fold at {' and '.join(str(mark) for mark in marks)}" if marks else ""
    slope = f", from {mm(member['y_mm'])} to {mm(member['y_end_mm'])} up" if "y_end_mm" in member else ""
    where = "from" if member["direction"] == Direction.ALONG else "at"
    return f"{member['length_mm']} {where} {mm(member['x_mm'])}{slope}{folds}"


def _brackets(brackets: Sequence[Json]) -> str:
    if not brackets:
        return ""
    reaches = sorted({bracket["projection_mm"] for bracket in brackets})
    reach = mm(reaches[0]) if len(reaches) == 1 else f"{mm(reaches[0])} to {mm(reaches[-1])}"
    return f"{len(brackets)}, each reaching {reach} from rail to stud"


def _words(name: str) -> str:
    return name.replace("_", " ")
