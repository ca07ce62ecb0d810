"""Boards, reveal linings and their finish over every framed stretch: rules B1 to B7 and the sides of stop ends (F2)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from service.engine.boards.columns import columns_of, report_off_stud
from service.engine.boards.face import Face, face_of
from service.engine.boards.faults import close_joints, piece_faults
from service.engine.boards.finish import Ledger, finish
from service.engine.boards.heights import joint_heights
from service.engine.boards.joints import Joint, joints_of, level_joints
from service.engine.boards.naming import Numbers, board_of, lining_of, next_number, strip_of
from service.engine.boards.pieces import BoardPiece, pieces_of
from service.engine.boards.reveals import reveals_of
from service.engine.boards.screws import piece_screws, screws_in
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import WallSpan
from service.engine.inputs import Sheet
from service.engine.parameters import Parameters
from service.engine.results import Finding, Fixings, FlatPiece, Member, Usage
from service.engine.units import EPSILON, whole_mm
from service.vocabulary import Component, Direction, EndKind, PieceRole, Role

SCREWS_PER_STRAP_END = 2


@dataclass(slots=True)
class Boarding:
    """All that is boarded, everything with its room and wall."""

    boards: list[FlatPiece] = field(default_factory=list)
    reveals: list[FlatPiece] = field(default_factory=list)
    straps: list[Member] = field(default_factory=list)
    fixings: list[Fixings] = field(default_factory=list)
    usages: list[Usage] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def board(
    lined: tuple[LinedStretch, ...],
    p: Parameters,
    board_sheet: Sheet,
    laminate_sheet: Sheet,
    components: Mapping[Role, Component],
) -> Boarding:
    """Boards every stretch of a survey.

    Args:
        lined: framed stretches, in survey order. board_sheet, laminate_sheet: the largest sheets on offer.
        components: what a strap is cut from.
    """
    boarding, numbers = Boarding(), Numbers()
    straps: dict[tuple[int, int], int] = {}
    for stretch in lined:
        _board_stretch(stretch, p, board_sheet, laminate_sheet, components, boarding, numbers, straps)
    return boarding


def _board_stretch(
    lined: LinedStretch, p: Parameters, board_sheet: Sheet, laminate_sheet: Sheet, components: Mapping[Role, Component],
    boarding: Boarding, numbers: Numbers, straps: dict[tuple[int, int], int],
) -> None:  # fmt: skip
    face = face_of(lined, p)
    ledger = Ledger(lined.room, boarding.usages)
    columns, found = columns_of(face, board_sheet.width_mm, p)
    boarding.findings += found
    named: list[tuple[BoardPiece, FlatPiece]] = []
    layers: list[list[Joint]] = []
    for layer in range(1, p.board_layers + 1):
        before = level_joints(layers[-1]) if layers else []
        cut = [pieces_of(face, column, board_sheet.length_mm, before, p) for column in columns if column.layer == layer]
        layers.append(joints_of([piece for pieces in cut for piece in pieces]))
        boarding.findings += close_joints(layers[-1], before, layer)
        for pieces in cut:
            named += _name_column(face, pieces, lined.room, numbers)
    innermost, outermost = layers[0], layers[-1]
    on_stud = {round(stud.x_mm, 3) for stud in lined.studs}
    for x in sorted({joint.x_mm for joints in layers for joint in joints if joint.upright}):
        if round(x, 3) not in on_stud:
            report_off_stud(face, x, boarding.findings)
    for piece, flat in named:
        boarding.boards.append(flat)
        counts = piece_screws(piece, lined, p)
        boarding.findings += [f for f in piece_faults(piece, flat.id, counts, p) if f not in boarding.findings]
        if counts:
            ledger.screws("boards to the frame", flat, counts, ("B6",))
    _straps(innermost, lined.room, components, boarding, straps)
    _stop_end_strips(face, p, board_sheet.length_mm, ledger, boarding, numbers)
    reveals, found = reveals_of(lined, laminate_sheet.width_mm, laminate_sheet.length_mm, p)
    boarding.findings += found
    starts = {span.ordinal: span.start_mm for span in lined.stretch.run.spans}
    for lining in reveals:
        wall = lining.placed.wall
        number = next_number(numbers, lined.room, wall, lining.role)
        label = f"{lined.room}/{wall}/{lining.role}-{number:02d}"
        boarding.reveals.append(lining_of(lining, label, lined.room, starts[wall]))
    finish(face, outermost, reveals, p, ledger)
    _areas(lined, named, boarding, p, ledger)


def _name_column(face: Face, pieces: list[BoardPiece], room: int, numbers: Numbers) -> list[tuple[BoardPiece, FlatPiece]]:
    """A column's pieces share a number and have letters, from left to right and upwards, where there are several on a wall."""
    named = []
    by_wall: dict[int, list[BoardPiece]] = {}
    for piece in sorted(pieces, key=lambda q: (q.span.start_mm, q.x0_mm, q.y0_mm)):
        by_wall.setdefault(piece.span.ordinal, []).append(piece)
    for wall, here in by_wall.items():
        number = next_number(numbers, room, wall, PieceRole.BOARD)
        for i, piece in enumerate(here):
            letter = chr(ord("a") + i) if len(here) > 1 else ""
            bevels = (
                face.bevel_left_mm if abs(piece.x0_mm - face.x0_mm) < EPSILON else 0.0,
                face.bevel_right_mm if abs(piece.x1_mm - face.x1_mm) < EPSILON else 0.0,
            )
            named.append((piece, board_of(piece, f"{room}/{wall}/board-{number:02d}{letter}", room, bevels)))
    return named


def _straps(
    joints: list[Joint], room: int, components: Mapping[Role, Component], boarding: Boarding, numbers: dict[tuple[int, int], int]
) -> None:
    """B4: a strap of U-section behind each horizontal joint of a column, screwed at both ends."""
    for joint in joints:
        if joint.upright or joint.length_mm < 1:
            continue
        span = joint.piece.span
        numbers[(room, span.ordinal)] = number = numbers.get((room, span.ordinal), 0) + 1
        label = f"{room}/{span.ordinal}/{Role.JOINT_STRAP}-{number:02d}"
        boarding.straps.append(
            Member(
                id=label, role=Role.JOINT_STRAP, component=components[Role.JOINT_STRAP], room=room, wall=span.ordinal,
                x_mm=joint.x_mm - span.start_mm, y_mm=joint.y_mm, length_mm=whole_mm(joint.length_mm),
                direction=Direction.ALONG, rules=("B4",),
            )
        )  # fmt: skip
        boarding.fixings.append(
            Fixings(
                component=Component.FRAME_SCREW, role=Role.JOINT_STRAP, room=room, wall=span.ordinal,
                count=2 * SCREWS_PER_STRAP_END, terms=f"2 ends × {SCREWS_PER_STRAP_END}", members=(label,), rules=("X2", "B4"),
            )
        )  # fmt: skip


def _stop_end_strips(face: Face, p: Parameters, longest_mm: float, ledger: Ledger, boarding: Boarding, numbers: Numbers) -> None:
    """F2: the side of a stop end, a strip as deep as the lining stands out, screwed to the end stud and to the upright behind."""
    stretch, room = face.lined.stretch, face.lined.room
    run = stretch.run
    sides: list[tuple[WallSpan, float]] = []
    if stretch.left is not None and stretch.left.kind is EndKind.STOP_END:
        sides.append((run.spans[0], 0.0))
    if stretch.right is not None and stretch.right.kind is EndKind.STOP_END:
        sides.append((run.spans[-1], run.length_mm))
    for span, x in sides:
        foot = span.floor_at(x) + p.board_floor_gap_mm
        height = span.ceiling_at(x) - foot
        for layer in range(1, p.board_layers + 1):
            heights = [foot, *joint_heights(foot, foot + height, longest_mm, from_foot=layer % 2 == 1), foot + height]
            for low, high in pairwise(heights):
                number = next_number(numbers, room, span.ordinal, PieceRole.STOP_END_STRIP)
                label = f"{room}/{span.ordinal}/{PieceRole.STOP_END_STRIP}-{number:02d}"
                deep = run.offset_mm + p.lining_thickness_mm
                strip = strip_of(label, room, span.ordinal, x - span.start_mm, low, deep, high - low, layer)
                boarding.boards.append(strip)
                ledger.screws(
                    "side of a stop end", strip, [screws_in(high - low, p.board_screw_external_mm, p)] * 2, ("F2", "B6")
                )


def _areas(
    lined: LinedStretch, named: list[tuple[BoardPiece, FlatPiece]], boarding: Boarding, p: Parameters, ledger: Ledger
) -> None:
    """Compound by the area of the outermost layer, adhesive by the area of the linings, wall by wall."""
    for span in lined.stretch.run.spans:
        wall = span.ordinal
        faces = [flat for _, flat in named if flat.wall == wall and flat.layer == p.board_layers]
        ledger.square_metres(Component.JOINT_COMPOUND, "joints and screw heads of the face", wall, faces, ("B7",))
        linings = [piece for piece in boarding.reveals if piece.room == lined.room and piece.wall == wall]
        ledger.square_metres(Component.BOARD_ADHESIVE, "reveal linings", wall, linings, ("B5", "B6"))
