"""Compares the boards of a survey with what a case file expects, and says every difference in words.

An `[[expect]]` table picks a place (`room`, `wall`, `layer`, ordinals from 1, each 1 when left out) and asks one thing of it:

- `face = {x0_mm, x1_mm, area_mm2, bevel_left_mm, bevel_right_mm}`: where the layer's boards begin and end on this wall
- `columns_mm = [[from, to], …]`: the layer's columns
- `column = 2` with `pieces = {y_mm = […], length_mm = […], area_mm2 = […], …}`, from the foot up, or with
  `cut_outs_mm = [[x, y, width, height], …]` of its lowest piece (or `piece`, from 1)
- `reveal = {role, opening, length_mm = […], width_mm = […]}`; an empty list: there is none
- `strips = {width_mm = […], length_mm = […]}`: sides of stop ends
- `straps_mm = […]`: lengths of straps on this wall
- `screws = 54`: board screws of this layer on this wall, or of one `column`
- `usage = {joint_tape = 12.0, …}`: metres or m² on this wall
- `finding`, `no_finding`: as for the frame

Lengths hold to 0.05 mm (pieces are stated to 0.1), areas to 1 mm², metres and square metres to 0.00005.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from cases.case_expectations import differences

from service.engine.boards.board import Boarding
from service.engine.results import Finding, FlatPiece, Framing
from service.vocabulary import Component, PieceRole

LENGTH_TOLERANCE_MM = 0.05 + 1e-6
AREA_TOLERANCE_MM2 = 1.0
USAGE_TOLERANCE = 0.00005
PLACE_KEYS = {"room", "wall", "layer", "column", "piece"}


def lining_differences(expectation: Mapping[str, Any], boarding: Boarding, findings: Sequence[Finding]) -> list[str]:
    """Every way in which the answer departs from one `[[expect]]` table; empty when it holds."""
    if "finding" in expectation or "no_finding" in expectation:
        return differences(expectation, Framing(layouts=(), findings=tuple(findings)), findings)
    asked = expectation.keys() - PLACE_KEYS
    if len(asked) != 1 or not asked <= ASKS.keys():
        raise ValueError(f"an [[expect]] table asks one of {sorted(ASKS)}, not {sorted(asked)}")
    (name,) = asked
    place = f"wall {expectation.get('room', 1)}/{expectation.get('wall', 1)} layer {expectation.get('layer', 1)}"
    return [f"{place} {name}: {line}" for line in ASKS[name](expectation[name], expectation, boarding)]


def _here(expectation: Mapping[str, Any], things: Sequence[Any]) -> list[Any]:
    return [t for t in things if (t.room, t.wall) == (expectation.get("room", 1), expectation.get("wall", 1))]


def _boards(expectation: Mapping[str, Any], boarding: Boarding, *, role: PieceRole = PieceRole.BOARD) -> list[FlatPiece]:
    layer = expectation.get("layer", 1)
    boards = [b for b in _here(expectation, boarding.boards) if b.layer == layer and b.role is role]
    return sorted(boards, key=lambda b: (round(b.x_mm, 2), b.y_mm))


def _columns(expectation: Mapping[str, Any], boarding: Boarding) -> dict[tuple[float, float], list[FlatPiece]]:
    columns: dict[tuple[float, float], list[FlatPiece]] = {}
    for board in _boards(expectation, boarding):
        columns.setdefault((round(board.x_mm, 1), round(board.x_mm + board.width_mm, 1)), []).append(board)
    return columns


def _column(expectation: Mapping[str, Any], boarding: Boarding) -> list[FlatPiece]:
    columns = list(_columns(expectation, boarding).values())
    number = expectation["column"]
    return columns[number - 1] if number <= len(columns) else []


def _numbers(label: str, wanted: Sequence[float], got: Sequence[float], tolerance: float) -> list[str]:
    if len(wanted) == len(got) and all(abs(w - g) <= tolerance for w, g in zip(wanted, got, strict=True)):
        return []
    return [f"{label} expected {list(wanted)}, got {[round(g, 4) for g in got]}"]


def _face(wanted: Mapping[str, float], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    boards = _boards(expectation, boarding)
    if not boards:
        return ["no boards"]
    x0, x1 = min(b.x_mm for b in boards), max(b.x_mm + b.width_mm for b in boards)
    got = {
        "x0_mm": x0,
        "x1_mm": x1,
        "area_mm2": sum(b.area_mm2 for b in boards),
        "bevel_left_mm": max(b.bevel_left_mm for b in boards if b.x_mm == x0),
        "bevel_right_mm": max(b.bevel_right_mm for b in boards if b.x_mm + b.width_mm == x1),
    }
    tolerance = {"area_mm2": AREA_TOLERANCE_MM2}
    return [
        f"{name} expected {value:g}, got {got[name]:.3f}"
        for name, value in wanted.items()
        if abs(got[name] - value) > tolerance.get(name, LENGTH_TOLERANCE_MM)
    ]


def _columns_mm(wanted: Sequence[Sequence[float]], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    got = list(_columns(expectation, boarding))
    flat = [edge for column in got for edge in column]
    return _numbers("from and to", [edge for column in wanted for edge in column], flat, LENGTH_TOLERANCE_MM)


def _pieces(wanted: Mapping[str, Sequence[float]], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    column = _column(expectation, boarding)
    told = []
    for name, values in wanted.items():
        tolerance = AREA_TOLERANCE_MM2 if name == "area_mm2" else LENGTH_TOLERANCE_MM
        told += _numbers(f"column {expectation['column']} {name}", values, [getattr(b, name) for b in column], tolerance)
    return told


def _cut_outs(wanted: Sequence[Sequence[float]], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    column, number = _column(expectation, boarding), expectation.get("piece", 1)
    if len(column) < number:
        return [f"column {expectation['column']} has {len(column)} pieces"]
    got = [[c.x_mm, c.y_mm, c.width_mm, c.height_mm] for c in column[number - 1].cut_outs]
    if len(got) != len(wanted):
        return [f"column {expectation['column']} expected {list(wanted)}, got {got}"]
    return [
        line
        for w, g in zip(wanted, got, strict=True)
        for line in _numbers(f"column {expectation['column']}", w, g, LENGTH_TOLERANCE_MM)
    ]


def _reveal(wanted: Mapping[str, Any], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    pieces = [
        r
        for r in _here(expectation, boarding.reveals)
        if r.role is PieceRole(wanted["role"]) and r.opening == wanted.get("opening", r.opening)
    ]
    return _sizes(wanted, pieces)


def _strips(wanted: Mapping[str, Any], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    return _sizes(wanted, [b for b in _here(expectation, boarding.boards) if b.role is PieceRole.STOP_END_STRIP])


def _sizes(wanted: Mapping[str, Any], pieces: Sequence[FlatPiece]) -> list[str]:
    return [
        line
        for name in ("width_mm", "length_mm")
        if name in wanted
        for line in _numbers(name, sorted(wanted[name]), sorted(getattr(p, name) for p in pieces), LENGTH_TOLERANCE_MM)
    ]


def _straps(wanted: Sequence[float], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    return _numbers("lengths", sorted(wanted), sorted(s.length_mm for s in _here(expectation, boarding.straps)), 0)


def _screws(wanted: int, expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    layer = expectation.get("layer", 1)
    usages = [u for u in _here(expectation, boarding.usages) if u.component is Component.BOARD_SCREW and u.layer == layer]
    if "column" in expectation:
        ids = {b.id for b in _column(expectation, boarding)}
        usages = [u for u in usages if ids & set(u.members)]
    got = sum(u.quantity for u in usages)
    return [] if got == wanted else [f"expected {wanted}, got {got}: {[(u.members, u.terms) for u in usages]}"]


def _usage(wanted: Mapping[str, float], expectation: Mapping[str, Any], boarding: Boarding) -> list[str]:
    told = []
    for name, quantity in wanted.items():
        usages = [u for u in _here(expectation, boarding.usages) if u.component is Component(name)]
        if abs(sum(u.quantity for u in usages) - quantity) > USAGE_TOLERANCE:
            told.append(f"{name} expected {quantity:g}, got {[(u.where, round(u.quantity, 6), u.terms) for u in usages]}")
    return told


ASKS: dict[str, Callable[[Any, Mapping[str, Any], Boarding], list[str]]] = {
    "face": _face,
    "columns_mm": _columns_mm,
    "pieces": _pieces,
    "cut_outs_mm": _cut_outs,
    "reveal": _reveal,
    "strips": _strips,
    "straps_mm": _straps,
    "screws": _screws,
    "usage": _usage,
}
