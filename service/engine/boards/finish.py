"""What finishes the boards: tape and compound for joints, beads for arrises and edges, adhesive and screws. Rules B6 and B7."""

from collections.abc import Callable
from dataclasses import dataclass

from service.engine.boards.face import Face, has_lined_sill, lining_thickness
from service.engine.boards.joints import Joint
from service.engine.boards.reveals import RevealPiece, jamb_height, reveal_depth
from service.engine.geometry.runs import PlacedOpening, WallSpan
from service.engine.parameters import Parameters
from service.engine.results import FlatPiece, Usage
from service.engine.units import EPSILON
from service.vocabulary import Component, EndKind, UnitCode

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True)
class Ledger:
    """Writes usages for one room."""

    room: int
    usages: list[Usage]

    def metres(self, component: Component, where: str, wall: int, lengths: list[float], rules: tuple[str, ...]) -> None:
        """A usage of the sum of these lengths in mm; nothing where there is none."""
        real = [length for length in lengths if length > EPSILON]
        if real:
            terms = " + ".join(f"{length:.0f}" for length in real) + " mm"
            self._add(component, where, wall, sum(real) / 1000, UnitCode.METRE, terms, (), rules)

    def square_metres(self, component: Component, where: str, wall: int, pieces: list[FlatPiece], rules: tuple[str, ...]) -> None:
        if pieces:
            terms = " + ".join(f"{piece.area_mm2 / MM2_PER_M2:.3f}" for piece in pieces) + " m²"
            area = sum(piece.area_mm2 for piece in pieces) / MM2_PER_M2
            self._add(component, where, wall, area, UnitCode.SQUARE_METRE, terms, tuple(p.id for p in pieces), rules)

    def screws(self, where: str, piece: FlatPiece, counts: list[int], rules: tuple[str, ...]) -> None:
        terms = " + ".join(str(count) for count in counts)
        self._add(Component.BOARD_SCREW, where, piece.wall, sum(counts), UnitCode.PIECE, terms, (piece.id,), rules, piece.layer)

    def _add(
        self, component: Component, where: str, wall: int, quantity: float, unit: UnitCode, terms: str,
        members: tuple[str, ...], rules: tuple[str, ...], layer: int = 1,
    ) -> None:  # fmt: skip
        self.usages.append(
            Usage(
                component=component, where=where, room=self.room, wall=wall, quantity=quantity, unit=unit, terms=terms,
                members=members, rules=rules, layer=layer,
            )
        )  # fmt: skip


def finish(face: Face, joints: list[Joint], reveals: list[RevealPiece], p: Parameters, ledger: Ledger) -> None:
    """Tape for joints, corners and the ceiling line; beads for arrises, external corners, stop ends and unlined walls."""
    for span in face.lined.stretch.run.spans:
        here = [joint for joint in joints if joint.piece.span is span]
        ledger.metres(Component.JOINT_TAPE, "joints between boards", span.ordinal, [j.length_mm for j in here], ("B7",))
        ledger.metres(Component.JOINT_TAPE, "ceiling line", span.ordinal, _ceiling_line(face, span), ("B7",))
    _ends(face, p, ledger)
    lined = {(piece.placed.wall, piece.placed.ordinal): piece.placed for piece in reveals}
    for o in lined.values():
        _reveal(face, o, p, ledger)


def _ceiling_line(face: Face, span: WallSpan) -> list[float]:
    """Where boards meet the ceiling over this wall, along its slope; openings that reach the ceiling leave gaps."""
    run = face.lined.stretch.run
    a = face.x0_mm if span is run.spans[0] else max(face.x0_mm, span.start_mm)
    b = face.x1_mm if span is run.spans[-1] else min(face.x1_mm, span.end_mm)
    free = [(a, b)] if b > a else []
    for cut in face.cuts:
        if cut.reaches_ceiling:
            free = [part for u, v in free for part in ((u, min(v, cut.x0_mm)), (max(u, cut.x1_mm), v)) if part[1] > part[0]]
    slope = (1 + span.ceiling_slope**2) ** 0.5
    return [(v - u) * slope for u, v in free]


def _ends(face: Face, p: Parameters, ledger: Ledger) -> None:
    stretch = face.lined.stretch
    run = stretch.run
    height: Callable[[WallSpan, float], float] = lambda span, x: span.ceiling_at(x) - span.floor_at(x) - p.board_floor_gap_mm  # noqa: E731
    sides = (
        (stretch.left, run.spans[0], face.x0_mm, False, face.lined.meets_left),
        (stretch.right, run.spans[-1], face.x1_mm, True, face.lined.meets_right),
    )
    for end, span, x, right, meets in sides:
        if end is None:
            continue
        tall, wall = [height(span, x)], span.ordinal
        if end.kind is EndKind.INTERNAL_CORNER and meets and right:  # once a corner, with its left-hand wall
            ledger.metres(Component.JOINT_TAPE, "internal corner", wall, tall, ("B7",))
        elif end.kind is EndKind.EXTERNAL_CORNER and meets and right:
            ledger.metres(Component.CORNER_BEAD, "external corner", wall, tall, ("B7",))
        elif end.kind is EndKind.STOP_END:
            ledger.metres(Component.CORNER_BEAD, "stop end", wall, tall, ("F2", "B7"))
        elif end.kind is EndKind.UNLINED_WALL:
            ledger.metres(Component.STOP_BEAD, "edge against an unlined wall", wall, tall, ("B7",))


def _reveal(face: Face, o: PlacedOpening, p: Parameters, ledger: Ledger) -> None:
    v, depth, jamb = lining_thickness(o, p), reveal_depth(face.lined, o), jamb_height(o, p)
    clear = o.right_mm - o.left_mm - 2 * v
    ledger.metres(Component.CORNER_BEAD, "reveal arrises", o.wall, [jamb, clear, jamb], ("B7",))
    corners = 4 if has_lined_sill(o) else 2
    ledger.metres(Component.JOINT_TAPE, "corners within the reveal", o.wall, [depth] * corners, ("B7",))
