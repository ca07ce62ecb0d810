"""What the rules ask of boards, linings and screws of any room; each referee says in words where the answer departs."""

import math
from collections import defaultdict
from collections.abc import Callable
from functools import wraps
from itertools import combinations, pairwise

from shapely import line_merge
from shapely.geometry import LineString, MultiLineString
from shapely.strtree import STRtree

from boards.boarded import BoardedCase
from boards.face_reading import NEAR, STATED_MM, CutBoard, Faced
from service.engine.boards.board import Boarding
from service.engine.results import FlatPiece
from service.vocabulary import Component, OpeningKind, PieceRole, Role

AREA_MM2 = 1.0

Referee = Callable[[BoardedCase, list[Faced], Boarding], list[str]]


def of_each_run(look: Callable[[Faced, Boarding], list[str]]) -> Referee:
    @wraps(look)
    def every(case: BoardedCase, runs: list[Faced], boarding: Boarding) -> list[str]:
        return [f"{faced.name}: {line}" for faced in runs for line in look(faced, boarding)]

    return every


# B1, B3, B5: the face


@of_each_run
def boards_tile_the_face(faced: Faced, _: Boarding) -> list[str]:
    """Each layer covers the face once: the same union, no overlap, nothing outside; stated areas are the pieces' own."""
    told = []
    face = faced.face()
    for layer in range(1, faced.p.board_layers + 1):
        boards = faced.layer(layer)
        polygons = [b.polygon for b in boards]
        whole = face
        bare, outside = face, 0.0
        for polygon in polygons:
            outside += polygon.difference(whole).area
            bare = bare.difference(polygon)
        if bare.area > AREA_MM2:
            told.append(f"layer {layer}: {bare.area:.1f} mm² are bare, around {bare.representative_point()}")
        if outside > AREA_MM2:
            told.append(f"layer {layer}: {outside:.1f} mm² lie outside the face")
        tree = STRtree(polygons)
        for i, polygon in enumerate(polygons):
            for j in tree.query(polygon):
                if j > i and (area := polygon.intersection(polygons[j]).area) > AREA_MM2 / 10:
                    told.append(f"{boards[i].piece.id} and {boards[j].piece.id} overlap by {area:.1f} mm²")
        stated = sum(b.piece.area_mm2 for b in boards)
        if abs(stated - face.area) > AREA_MM2:
            told.append(f"layer {layer}: stated areas are {stated:.1f} mm², the face is {face.area:.1f}")
        told += [
            f"{b.piece.id}: area stated {b.piece.area_mm2:.1f}, is {b.polygon.area:.1f}"
            for b in boards
            if abs(b.piece.area_mm2 - b.polygon.area) > AREA_MM2
        ]
    return told


@of_each_run
def boards_are_whole_pieces(faced: Faced, _: Boarding) -> list[str]:
    """One connected piece each, with its height; cut-outs lie within its rectangle."""
    told = []
    for b in faced.boards:
        if b.polygon.geom_type != "Polygon" or b.polygon.area <= 0:
            told.append(f"{b.piece.id} is {b.polygon.geom_type} of {b.polygon.area:.1f} mm²")
        for c in b.piece.cut_outs:
            if c.x_mm < -NEAR or c.y_mm < -NEAR or c.x_mm + c.width_mm > b.x1 - b.x0 + NEAR:
                told.append(f"{b.piece.id}: cut-out {c} leaves the piece")
            if c.y_mm + c.height_mm > b.piece.length_mm + STATED_MM:
                told.append(f"{b.piece.id}: cut-out {c} is higher than the piece")
    return told


@of_each_run
def a_board_belongs_to_the_wall_of_its_left_edge(faced: Faced, _: Boarding) -> list[str]:
    return [
        f"{b.piece.id} begins at {b.x0:.1f} of the run, on wall {faced.wall_at(b.x0)}"
        for b in faced.boards
        if faced.wall_at(b.x0) != b.piece.wall
    ]


# B2: joints


def _upright_joints(faced: Faced, layer: int) -> list[float]:
    """Where two boards of a layer stand beside each other, edge against edge."""
    ending: dict[float, list[CutBoard]] = defaultdict(list)
    for board in faced.layer(layer):
        ending[round(board.x1, 2)].append(board)
    found = set()
    for right in faced.layer(layer):
        for left in ending[round(right.x0, 2)]:
            if left.polygon.intersection(right.polygon).length > 1:
                found.add(round(right.x0, 2))
    return sorted(found)


def _columns(faced: Faced, layer: int) -> list[tuple[tuple[float, float], list[tuple[float, float]]]]:
    """Each segment of the face with its columns, left to right."""
    joints = _upright_joints(faced, layer)
    return [((a, b), list(pairwise([a, *(x for x in joints if a + NEAR < x < b - NEAR), b]))) for a, b in faced.segments()]


def _on(lines: list[float], x: float) -> bool:
    return any(abs(x - line) <= STATED_MM for line in lines)


def _joints(faced: Faced, layer: int) -> list[float]:
    return [right for _, columns in _columns(faced, layer) for _, right in columns[:-1]]


@of_each_run
def joints_stand_on_studs_or_are_reported(faced: Faced, _: Boarding) -> list[str]:
    """On a stud line; within an opening's width, over a low strip, without one; elsewhere with a finding."""
    told = []
    for layer in range(1, faced.p.board_layers + 1):
        for x in _joints(faced, layer):
            beside = any(h.left < x < h.right for h in faced.holes)
            if not _on(faced.stud_lines, x) and not beside and not faced.found("joint_off_stud", x):
                told.append(f"layer {layer}: a joint at {x:.1f} is on no stud line and not reported")
            if _on(faced.jamb_lines, x) and not faced.found("joint_on_jamb_line", x):
                told.append(f"layer {layer}: a joint at {x:.1f} is on a jamb line and not reported")
    return told


@of_each_run
def no_joint_is_reported_that_is_sound(faced: Faced, _: Boarding) -> list[str]:
    joints = [x for layer in range(1, faced.p.board_layers + 1) for x in _joints(faced, layer)]
    told = []
    for f in faced.findings:
        here = [x for x in joints if faced.wall_at(x) == f.wall]
        if f.code == "joint_on_jamb_line" and not any(_on(faced.jamb_lines, x) for x in here):
            told.append(f"wall {f.wall}: {f.message}")
        if f.code == "joint_off_stud" and all(_on(faced.stud_lines, x) for x in here):
            told.append(f"wall {f.wall}: {f.message}")
    return told


@of_each_run
def narrow_strips_are_reported(faced: Faced, _: Boarding) -> list[str]:
    """Of every piece, whether joints, openings or a rake make it narrow; nothing else is called so, nor anything twice."""
    least = faced.p.board_min_width_mm
    narrow = [b for b in faced.boards if b.x1 - b.x0 < least - NEAR]
    told = [f"{b.piece.id}, {b.x1 - b.x0:.1f} wide, is not reported" for b in narrow if not _says(faced, "board_strip_narrow", b)]
    said = [f for f in faced.findings if f.code == "board_strip_narrow"]
    for f in said:
        if not any(b.piece.wall == f.wall for b in narrow) or said.count(f) > 1:
            told.append(f"wall {f.wall}: no such strip: {f.message}")
    return told


def _says(faced: Faced, code: str, b: CutBoard) -> bool:
    return any(f.code == code and f.wall == b.piece.wall for f in faced.findings)


@of_each_run
def fragile_legs_are_reported(faced: Faced, _: Boarding) -> list[str]:
    """What stands between a board's side and its one cut-out, open to the foot or the top: under 80 wide, over 600 long."""
    told = []
    for b in (board for board in faced.boards if len(board.piece.cut_outs) == 1):
        (c,) = b.piece.cut_outs
        y0, y1 = b.piece.y_mm + c.y_mm, b.piece.y_mm + c.y_mm + c.height_mm
        fragile = perhaps = False
        for x, width, out in ((c.x_mm, c.x_mm, -2e-3), (c.x_mm + c.width_mm, b.x1 - b.x0 - c.x_mm - c.width_mm, 2e-3)):
            if width < 0.01:
                continue
            beside, inside = ([g.bounds for g in _lines_at(b, b.x0 + x + side)] for side in (out, -out))
            hanging = not (any(low < y0 - NEAR for _, low, _, _ in inside) and any(high > y1 + NEAR for *_, high in inside))
            length = sum(max(0.0, min(y1, high) - max(y0, low)) for _, low, _, high in beside)
            fragile |= hanging and width < 80 - NEAR and length > 600 + 0.1
            perhaps |= hanging and width < 80 + NEAR and length > 600 - 0.1
        said = any(f.code == "board_leg_narrow" and f.message.startswith(f"{b.piece.id} ") for f in faced.findings)
        if (fragile and not said) or (said and not perhaps):
            told.append(f"{b.piece.id}: a fragile leg {fragile}, reported {said}")
    return told


def _set_out(faced: Faced, columns: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The columns without joints on no stud line, but for those that stand a whole board on: the rest are another's business."""
    width = faced.case.board_sheet.width_mm
    edges = [columns[0][0]]
    for _, right in columns[:-1]:
        if _on(faced.stud_lines, right) or abs(right - edges[-1] - width) < STATED_MM:
            edges.append(right)
    return list(pairwise([*edges, columns[-1][1]]))


@of_each_run
def joints_are_as_far_apart_as_the_rule_lets_them(faced: Faced, _: Boarding) -> list[str]:
    """Read from each joint back to the one before: no better line lay further on, none was passed over for a worse one.

    The last joint of a segment may have been moved back to save a narrow strip. A line so near that it would cut off less than
    the least width is no line to join on.
    """
    told: list[str] = []
    width, least = faced.case.board_sheet.width_mm, faced.p.board_min_width_mm
    before: list[float] = []
    for layer in range(1, faced.p.board_layers + 1):
        for (a, b), parts in _columns(faced, layer):
            inner = [x for x in faced.stud_lines if a < x < b]
            columns = _set_out(faced, parts)
            for i, (start, joint) in enumerate(columns[:-1]):
                reach = start + (width / 2 if layer % 2 == 0 and i == 0 else width)
                worth = [x for x in inner if start + max(least - NEAR, NEAR) <= x]
                in_reach = [x for x in worth if x <= reach + NEAR] or [x for x in worth if x <= start + width + NEAR]
                plain = [x for x in in_reach if not _on(faced.jamb_lines, x)]
                free = [x for x in plain if not _on(before, x)]
                saved = i == len(columns) - 2 and b - max(free or plain or in_reach or [a]) < least
                if _on(faced.jamb_lines, joint) and plain and not saved:
                    told.append(f"layer {layer}: {joint:.1f} is on a jamb line while {plain} are in reach of {start:.1f}")
                if _on(before, joint) and free and not saved:
                    told.append(f"layer {layer}: {joint:.1f} is on a joint of the layer before while {free} are in reach")
                best = free or plain or [x for x in in_reach if not _on(before, x)] or in_reach
                if best and max(best) > joint + STATED_MM and not saved:
                    told.append(f"layer {layer}: from {start:.1f} the joint is at {joint:.1f}, {max(best):.1f} is in reach")
                if joint - start < least - 0.05 and in_reach:
                    told.append(f"layer {layer}: a strip from {start:.1f} to {joint:.1f} while {in_reach} are in reach")
        before = [x for x in _joints(faced, layer) if _on(faced.stud_lines, x)]
    return told


# B4: sheets, tall columns


def pieces_fit_a_sheet(case: BoardedCase, _: list[Faced], boarding: Boarding) -> list[str]:
    told = []
    for pieces, sheet in ((boarding.boards, case.board_sheet), (boarding.reveals, case.laminate_sheet)):
        told += [
            f"{b.id} is {b.width_mm} × {b.length_mm}, the sheet {sheet.width_mm} × {sheet.length_mm}"
            for b in pieces
            if b.width_mm > sheet.width_mm + NEAR or b.length_mm > sheet.length_mm + NEAR
        ]
        told += [f"{b.id} is {b.width_mm} × {b.length_mm}" for b in pieces if b.width_mm <= 0 or b.length_mm <= 0]
    return told


def _level_joints(boards: list[CutBoard]) -> list[tuple[float, float, float]]:
    """x, y and length of each unbroken level line along which two boards meet."""
    joints = []
    for one, other in combinations(boards, 2):
        if one.x1 <= other.x0 + NEAR or other.x1 <= one.x0 + NEAR:
            continue
        shared = one.polygon.intersection(other.polygon)
        parts = [g for g in getattr(shared, "geoms", [shared]) if g.geom_type == "LineString"]
        merged = line_merge(MultiLineString(parts)) if parts else shared
        for g in getattr(merged, "geoms", [merged]):
            if g.geom_type == "LineString" and abs(g.coords[0][1] - g.coords[-1][1]) < NEAR and g.length > NEAR:
                joints.append((g.bounds[0], g.bounds[1], g.length))
    return joints


@of_each_run
def level_joints_have_straps(faced: Faced, boarding: Boarding) -> list[str]:
    """Behind each level joint of the layer on the studs, as long as it (whole mm)."""
    walls = {span.ordinal: span.start_mm for span in faced.run.spans}
    straps = sorted(
        (walls[s.wall] + s.x_mm, s.y_mm, s.length_mm)
        for s in boarding.straps
        if s.room == faced.run.room and s.wall in walls and s.role is Role.JOINT_STRAP
    )
    joints = sorted(j for j in _level_joints(faced.layer(1)) if j[2] >= 1)
    if len(straps) != len(joints):
        return [f"{len(joints)} level joints, {len(straps)} straps: {joints} {straps}"]
    return [
        f"joint {joint} and strap {strap}"
        for joint, strap in zip(joints, straps, strict=True)
        if max(abs(joint[0] - strap[0]), abs(joint[1] - strap[1])) > STATED_MM or not -0.15 <= joint[2] - strap[2] < 1.15
    ]


def _is_level(q: FlatPiece) -> bool:
    return not q.outline_mm and max(q.foot_left_mm, q.foot_right_mm, abs(q.height_left_mm - q.height_right_mm)) < NEAR


@of_each_run
def tall_columns_have_no_low_piece(faced: Faced, _: Boarding) -> list[str]:
    """B4: where a column is made up of several boards none is under 300, and no two of them would fit one sheet."""
    told = []
    level = [b for b in faced.boards if _is_level(b.piece)]
    for b in level:
        if "B4" in b.piece.rules and b.piece.length_mm < 300 - STATED_MM:
            told.append(f"{b.piece.id}: {b.piece.length_mm} is under 300")
    for one, other in combinations(level, 2):
        if one.piece.layer != other.piece.layer or abs(one.x0 - other.x0) > NEAR or abs(one.x1 - other.x1) > NEAR:
            continue
        lower, upper = sorted((one.piece, other.piece), key=lambda q: q.y_mm)
        if abs(lower.y_mm + lower.length_mm - upper.y_mm) < STATED_MM:
            together = upper.y_mm + upper.length_mm - lower.y_mm
            if together <= faced.case.board_sheet.length_mm + NEAR:
                told.append(f"{lower.id} and {upper.id} make {together:.1f} and fit one sheet")
    return told


@of_each_run
def horizontal_joints_of_layers_keep_apart(faced: Faced, _: Boarding) -> list[str]:
    """B4: 600 from those of the layer before, or reported."""
    told = []
    for layer in range(2, faced.p.board_layers + 1):
        before = _level_joints(faced.layer(layer - 1))
        for x, y, length in _level_joints(faced.layer(layer)):
            close = [v for u, v, other in before if min(u + other, x + length) - max(u, x) > NEAR and abs(v - y) < 600 - NEAR]
            walls = {faced.wall_at(at) for at in (x - 1, x + 1, x + length / 2)}
            if close and not any(f.code == "layer_joints_close" and f.wall in walls for f in faced.findings):
                told.append(f"layer {layer}: the joint at {x:.1f}, {y:.1f} is close to {close} and not reported")
    return told


# B5: reveals


@of_each_run
def reveals_cover_each_edge_once(faced: Faced, boarding: Boarding) -> list[str]:
    told = []
    v = faced.p.reveal_board_thickness_mm
    d = faced.run.offset_mm
    walls = {span.ordinal: span for span in faced.run.spans}
    pieces: dict[tuple[int, int], list[FlatPiece]] = defaultdict(list)
    for r in boarding.reveals:
        if r.room == faced.run.room and r.wall in walls:
            pieces[(r.wall, r.opening or 0)].append(r)
    for h in faced.holes:
        here = pieces.pop((h.wall, h.ordinal), [])
        framed = any(
            h.left < b - 1e-6 and h.right > a + 1e-6 for a, b in ((s.stretch.x0_mm, s.stretch.x1_mm) for s in faced.stretches)
        )
        jamb = h.opening.height_mm - v - (v if h.lined_sill else 0.0)
        lined = framed and h.opening.kind is not OpeningKind.HEARTH and h.opening.width_mm > 2 * v + 1e-6 and jamb > 1e-6
        deep = h.opening.reveal_depth_mm + d
        wanted = {
            PieceRole.REVEAL_HEAD: h.opening.width_mm * deep * lined,
            PieceRole.REVEAL_JAMB: 2 * jamb * deep * lined,
            PieceRole.REVEAL_SILL: h.opening.width_mm * deep * (lined and h.lined_sill),
        }
        for role, area in wanted.items():
            got = sum(r.area_mm2 for r in here if r.role is role)
            if abs(got - area) > AREA_MM2:
                told.append(f"opening {h.wall}/{h.ordinal}: {role} covers {got:.1f} mm², its edges are {area:.1f}")
            parts = [r for r in here if r.role is role]
            if parts and len({(r.width_mm, r.length_mm) for r in parts}) > 1:
                told.append(f"opening {h.wall}/{h.ordinal}: {role} in unequal parts")
            least = math.ceil(deep / faced.case.laminate_sheet.width_mm - 1e-9)
            edge = jamb if role is PieceRole.REVEAL_JAMB else h.opening.width_mm
            least *= math.ceil(edge / faced.case.laminate_sheet.length_mm - 1e-9) * (2 if role is PieceRole.REVEAL_JAMB else 1)
            if area and len(parts) != least:
                told.append(f"opening {h.wall}/{h.ordinal}: {role} in {len(parts)} parts, {least} are enough")
        filled = h.opening.kind is not OpeningKind.HEARTH and (h.opening.width_mm <= 2 * v or jamb <= 0)
        margin = h.opening.frame_margin_mm
        narrow = h.opening.kind is not OpeningKind.HEARTH and (filled or (margin is not None and margin < v))
        said = any(f.code == "reveal_too_narrow" and (f.wall, f.opening) == (h.wall, h.ordinal) for f in faced.findings)
        if framed and narrow != said:
            told.append(f"opening {h.wall}/{h.ordinal}: margin {margin}, lining {v}, reported: {said}")
    told += [f"linings for opening {key}, which is not there" for key in pieces]
    return told


# B6: screws


def _screws(height: float, spacing: float, end: float) -> int:
    return max(2, math.ceil((height - 2 * end) / spacing - 1e-6) + 1)


def _lines_at(b: CutBoard, x: float) -> list[LineString]:
    shared = b.polygon.intersection(LineString([(x, -1e5), (x, 1e5)]))
    return [g for g in getattr(shared, "geoms", [shared]) if g.geom_type == "LineString" and g.length > 0]


@of_each_run
def screws_follow_the_stud_lines(faced: Faced, boarding: Boarding) -> list[str]:
    """Each stretch of board before a stud line by itself, where 10 of the stud's face and 10 of height are behind it.

    A line on the very edge of board or cut-out may count as either.
    """
    told = []
    p = faced.p
    half = p.stud_face_mm / 2
    for b in faced.boards:
        fewest = most = 0
        for x in faced.stud_lines:
            behind = min(b.x1, x + half) - max(b.x0, x - half)
            if behind < 10 - STATED_MM:
                continue
            spacing = p.board_screw_external_mm if x in faced.external_lines else p.board_screw_spacing_mm
            near = [min(max(x + shift, b.x0 + 1e-4), b.x1 - 1e-4) for shift in (-2e-3, 2e-3)]
            counts = [[(g.length, _screws(g.length, spacing, p.board_screw_end_mm)) for g in _lines_at(b, at)] for at in near]
            most += max(sum(n for tall, n in side if tall > 10 - STATED_MM) for side in counts)
            if behind > 10 + STATED_MM:
                fewest += min(sum(n for tall, n in side if tall > 10 + STATED_MM) for side in counts)
        stated = _screws_stated(b, boarding)
        if not fewest <= stated <= most:
            told.append(f"{b.piece.id}: {stated:g} screws, its stud lines take {fewest} to {most}")
    return told


def _screws_stated(b: CutBoard, boarding: Boarding) -> float:
    return sum(u.quantity for u in boarding.usages if u.component is Component.BOARD_SCREW and b.piece.id in u.members)


@of_each_run
def boards_are_held_or_it_is_said(faced: Faced, boarding: Boarding) -> list[str]:
    """Screwed to a stud, or reported."""
    said = " ".join(f.message for f in faced.findings if f.code == "board_unbacked")
    return [
        f"{b.piece.id} from {b.x0:.1f} to {b.x1:.1f} has no screw"
        for b in faced.boards
        if (_screws_stated(b, boarding) == 0) != (f" {b.piece.id}:" in said)
    ]


# B7: finish


@of_each_run
def tape_covers_every_joint(faced: Faced, boarding: Boarding) -> list[str]:
    """The outermost layer's pieces meet along the lines that are taped, no more and no less."""
    boards = faced.layer(faced.p.board_layers)
    wanted = 0.0
    for one, other in combinations(boards, 2):
        if one.x1 < other.x0 - NEAR or other.x1 < one.x0 - NEAR:
            continue
        shared = one.polygon.intersection(other.polygon)
        wanted += sum(g.length for g in getattr(shared, "geoms", [shared]) if g.geom_type == "LineString")
    walls = {span.ordinal for span in faced.run.spans}
    stated = 1000 * sum(
        u.quantity
        for u in boarding.usages
        if u.component is Component.JOINT_TAPE
        and u.where == "joints between boards"
        and u.room == faced.run.room
        and u.wall in walls
    )
    return [] if abs(stated - wanted) < 0.5 + 0.2 * len(boards) else [f"{stated:.1f} mm of tape for {wanted:.1f} mm of joints"]


@of_each_run
def compound_is_the_outer_layers_area(faced: Faced, boarding: Boarding) -> list[str]:
    walls = {span.ordinal for span in faced.run.spans}
    stated = sum(
        u.quantity
        for u in boarding.usages
        if u.component is Component.JOINT_COMPOUND and u.room == faced.run.room and u.wall in walls
    )
    area = faced.face().area / 1e6
    return [] if abs(stated - area) < 1e-5 else [f"compound for {stated:.5f} m², the face is {area:.5f}"]


def ids_are_unique(_: BoardedCase, __: list[Faced], boarding: Boarding) -> list[str]:
    ids = [piece.id for piece in (*boarding.boards, *boarding.reveals, *boarding.straps)]
    return [f"{i} is used {ids.count(i)} times" for i in sorted(set(ids)) if ids.count(i) > 1]
