"""Compares an answer of the framing stage with what a case file expects, and says every difference in words.

An `[[expect]]` table picks a place (`room`, `wall`, ordinals from 1, both 1 when left out) and asks one thing of it:

- `frame = {x0_mm = …, channel_x1_mm = …, right = "stop_end", …}`
- `role = "stud"` (or a list, or "upright" for all kinds of stud) with `x_mm`, `y_mm`, `length_mm`, `y_end_mm`, `splay_deg`,
  `fold_marks_mm`, `rules`, `count`, `total_mm` or `absent = true`; members are compared from left to right, then upwards;
  a single number stands for all. `crossing_y_mm` keeps only the uprights that stand at that height.
- `joints_on_mm = [[…]]` beside a role: the pieces butt, each joint on one of these places
- `spliced = {overlap_mm, total_mm, rows_y_mm, within_mm}`: every upright is in two or more pieces, lapped near a row, out of step
- `brackets = {count, x_mm, role}`; `fixings = {timber_fixing = 6}` with an optional `role`
- `finding = {code, severity, opening, message_has}`, `no_finding = ["…"]`, `no_layout = true`

Lengths are exact; positions hold to 0.05 mm.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from service.engine.results import Finding, Framing, Member, WallLayout
from service.vocabulary import STUD_ROLES, Component, Direction, Role

POSITION_TOLERANCE_MM = 0.05
ANGLE_TOLERANCE_DEG = 0.05

MEMBER_KEYS = {"role", "x_mm", "y_mm", "length_mm", "y_end_mm", "splay_deg", "fold_marks_mm", "count", "total_mm", "absent",
               "crossing_y_mm", "joints_on_mm", "spliced", "y_above_mm", "y_below_mm"}  # fmt: skip
OTHER_KEYS = {"room", "wall", "frame", "brackets", "fixings", "finding", "no_finding", "no_layout"}


def differences(expectation: Mapping[str, Any], framing: Framing, findings: Sequence[Finding]) -> list[str]:
    """Every way in which the answer departs from one `[[expect]]` table; empty when it holds."""
    if unknown := expectation.keys() - MEMBER_KEYS - OTHER_KEYS:
        raise ValueError(f"unknown keys in an [[expect]] table: {sorted(unknown)}")
    room, wall = expectation.get("room", 1), expectation.get("wall", 1)
    place = f"wall {room}/{wall}"
    here = [f for f in findings if f.room == room and f.wall in (wall, None)]
    if "finding" in expectation:
        return _finding(place, expectation["finding"], here)
    if "no_finding" in expectation:
        return [f"{place}: finding {f.code} is not expected: {f.message}" for f in here if f.code in expectation["no_finding"]]
    layout = next((lay for lay in framing.layouts if (lay.room, lay.wall) == (room, wall)), None)
    if expectation.get("no_layout"):
        return [f"{place}: no layout expected, but there is one"] if layout else []
    if layout is None:
        return [f"{place}: has no layout; findings: {[f'{f.code}: {f.message}' for f in here]}"]
    if "frame" in expectation:
        return _frame(place, expectation["frame"], layout)
    if "brackets" in expectation:
        return _brackets(place, expectation["brackets"], layout)
    if "fixings" in expectation:
        return _fixings(place, expectation, layout)
    if "role" in expectation:
        return _members(place, expectation, layout)
    raise ValueError(f"an [[expect]] table asks nothing: {dict(expectation)}")


def _finding(place: str, wanted: Mapping[str, Any], here: Sequence[Finding]) -> list[str]:
    for found in here:
        if (
            found.code == wanted["code"]
            and found.severity == wanted.get("severity", found.severity)
            and found.opening == wanted.get("opening", found.opening)
            and wanted.get("message_has", "") in found.message
        ):
            return []
    return [
        f"{place}: expected finding {dict(wanted)}, found {[(str(f.code), str(f.severity), f.opening, f.message) for f in here]}"
    ]


def _frame(place: str, wanted: Mapping[str, Any], layout: WallLayout) -> list[str]:
    told = []
    for name, value in wanted.items():
        got = getattr(layout.frame, name)
        if isinstance(value, str):
            if got != value:
                told.append(f"{place}: frame.{name} expected {value}, got {got}")
        elif abs(got - value) > POSITION_TOLERANCE_MM:
            told.append(f"{place}: frame.{name} expected {value:g}, got {got:g}")
    return told


def _roles(wanted: str | list[str]) -> frozenset[Role]:
    names = [wanted] if isinstance(wanted, str) else wanted
    return frozenset(role for name in names for role in (STUD_ROLES if name == "upright" else {Role(name)}))


def _left_to_right(members: Iterable[Member]) -> list[Member]:
    return sorted(members, key=lambda m: (round(m.x_mm, 2), m.y_mm, m.id))


def _members(place: str, expectation: Mapping[str, Any], layout: WallLayout) -> list[str]:
    roles = _roles(expectation["role"])
    members = _left_to_right(m for m in layout.members if m.role in roles)
    label = f"{place} {expectation['role']}"
    if "crossing_y_mm" in expectation:
        y = expectation["crossing_y_mm"]
        members = [m for m in members if m.direction == Direction.UP and m.y_mm < y < m.y_mm + m.length_mm]
        label += f" standing at y = {y}"
    if "y_above_mm" in expectation:
        members = [m for m in members if m.y_mm > expectation["y_above_mm"]]
        label += f" above {expectation['y_above_mm']}"
    if "y_below_mm" in expectation:
        members = [m for m in members if m.y_mm < expectation["y_below_mm"]]
        label += f" below {expectation['y_below_mm']}"
    told: list[str] = []
    if expectation.get("absent"):
        told += [f"{label}: none expected, got {m.id} at x {m.x_mm:g}, y {m.y_mm:g}, length {m.length_mm}" for m in members]
    if "count" in expectation and len(members) != expectation["count"]:
        told.append(f"{label}: expected {expectation['count']} members, got {len(members)}: {_shown(members)}")
    if "total_mm" in expectation and (total := sum(m.length_mm for m in members)) != expectation["total_mm"]:
        told.append(f"{label}: expected {expectation['total_mm']} mm in all, got {total}: {_shown(members)}")
    readers: dict[str, tuple[Callable[[Member], Any], float]] = {
        "x_mm": (lambda m: m.x_mm, POSITION_TOLERANCE_MM),
        "y_mm": (lambda m: m.y_mm, POSITION_TOLERANCE_MM),
        "y_end_mm": (lambda m: m.y_end_mm, POSITION_TOLERANCE_MM),
        "length_mm": (lambda m: m.length_mm, 0),
        "splay_deg": (lambda m: max(abs(m.splay_start_deg), abs(m.splay_end_deg)), ANGLE_TOLERANCE_DEG),
        "fold_marks_mm": (lambda m: m.fold_marks_mm, 0),
    }
    for name, (read, tolerance) in readers.items():
        if name in expectation:
            told += _list_differences(f"{label} {name}", expectation[name], members, read, tolerance)
    if "joints_on_mm" in expectation:
        told += _joints(label, expectation["joints_on_mm"], members)
    if "spliced" in expectation:
        told += _splices(label, expectation["spliced"], members)
    return told


def _shown(members: Sequence[Member]) -> str:
    return ", ".join(f"{m.id} x {m.x_mm:.2f} y {m.y_mm:.2f} length {m.length_mm}" for m in members) or "none"


def _list_differences(
    label: str, wanted: Any, members: Sequence[Member], read: Callable[[Member], Any], tolerance: float
) -> list[str]:
    got = [read(m) for m in members]
    if not isinstance(wanted, list):
        wanted = [wanted] * len(got)
        if not got:
            return [f"{label}: no such member"]
    if len(got) == len(wanted) and all(_close(w, g, tolerance) for w, g in zip(wanted, got, strict=True)):
        return []
    return [f"{label}: expected {wanted}, got {[round(g, 4) if isinstance(g, float) else g for g in got]} ({_shown(members)})"]


def _close(wanted: Any, got: Any, tolerance: float) -> bool:
    if got is None or isinstance(wanted, list):
        return got is not None and list(got) == wanted
    return abs(got - wanted) <= tolerance


def _joints(label: str, allowed: Sequence[float], members: Sequence[Member]) -> list[str]:
    told = []
    for left, right in pairwise(members):
        joint = left.x_mm + left.length_mm
        if abs(right.x_mm - joint) > POSITION_TOLERANCE_MM:
            told.append(f"{label}: {left.id} ends at {joint:g}, the next begins at {right.x_mm:g}")
        if not any(abs(joint - place) <= POSITION_TOLERANCE_MM for place in allowed):
            told.append(f"{label}: joint at {joint:g} is on none of {list(allowed)}")
    return told


def _splices(label: str, wanted: Mapping[str, Any], members: Sequence[Member]) -> list[str]:
    """S7: two pieces or more at each place, lapped by `overlap_mm`, the lap's middle near a row, neighbours out of step."""
    told: list[str] = []
    by_place: dict[float, list[Member]] = defaultdict(list)
    for m in members:
        by_place[round(m.x_mm, 2)].append(m)
    laps_before: list[float] | None = None
    for x, pieces in sorted(by_place.items()):
        if (total := sum(p.length_mm for p in pieces)) != wanted["total_mm"]:
            told.append(f"{label} at x {x:g}: pieces make {total} mm, expected {wanted['total_mm']}: {_shown(pieces)}")
        laps = []
        for below, above in pairwise(pieces):
            top = below.y_mm + below.length_mm
            if abs(top - above.y_mm - wanted["overlap_mm"]) > 1:
                told.append(
                    f"{label} at x {x:g}: laps by {top - above.y_mm:g}, expected {wanted['overlap_mm']}: {_shown(pieces)}"
                )
            laps.append((top + above.y_mm) / 2)
            if all(abs(laps[-1] - row) > wanted["within_mm"] + 1 for row in wanted["rows_y_mm"]):
                told.append(f"{label} at x {x:g}: lap around {laps[-1]:g} is near none of the rows {wanted['rows_y_mm']}")
        if not laps:
            told.append(f"{label} at x {x:g}: is in one piece: {_shown(pieces)}")
        if laps and laps == laps_before:
            told.append(f"{label} at x {x:g}: laps at {laps} like its left-hand neighbour")
        laps_before = laps
    return told


def _brackets(place: str, wanted: Mapping[str, Any], layout: WallLayout) -> list[str]:
    roles = {m.id: m.role for m in layout.members}
    brackets = sorted(layout.brackets, key=lambda b: (round(b.x_mm, 2), b.y_mm))
    if "role" in wanted:
        brackets = [b for b in brackets if roles[b.member_id] in _roles(wanted["role"])]
    if "rail" in wanted:
        brackets = [b for b in brackets if roles[b.rail_id] == wanted["rail"]]
    shown = [(b.member_id, b.rail_id, round(b.x_mm, 2)) for b in brackets]
    told = []
    if "count" in wanted and len(brackets) != wanted["count"]:
        told.append(f"{place}: expected {wanted['count']} brackets, got {len(brackets)}: {shown}")
    if "x_mm" in wanted:
        got = [b.x_mm for b in brackets]
        if len(got) != len(wanted["x_mm"]) or any(
            abs(g - w) > POSITION_TOLERANCE_MM for g, w in zip(got, wanted["x_mm"], strict=True)
        ):
            told.append(f"{place}: expected brackets at {wanted['x_mm']}, got {shown}")
    return told


def _fixings(place: str, expectation: Mapping[str, Any], layout: WallLayout) -> list[str]:
    roles = _roles(expectation["role"]) if "role" in expectation else frozenset(Role)
    counted: dict[str, int] = defaultdict(int)
    for f in layout.fixings:
        if f.role in roles:
            counted[f.component] += f.count
    label = f"{place} {expectation.get('role', 'all roles')}"
    return [
        f"{label}: expected {count} {name}, got {counted[Component(name)]}: "
        f"{[(str(f.role), f.count, f.terms) for f in layout.fixings if f.component == name and f.role in roles]}"
        for name, count in expectation["fixings"].items()
        if counted[Component(name)] != count
    ]
