"""Where upright boards join: rule B2."""

from dataclasses import dataclass
from itertools import pairwise

from service.engine.boards.face import Face
from service.engine.findings import finding
from service.engine.parameters import Parameters
from service.engine.results import Finding
from service.engine.units import EPSILON
from service.finding_codes import FindingCode


@dataclass(frozen=True, slots=True)
class Column:
    """Boards between two joints, in the run's x. `number` counts from 1 along its segment: odd and even stagger (B4)."""

    layer: int
    number: int
    x0_mm: float
    x1_mm: float

    @property
    def from_foot(self) -> bool:
        """Whether its full boards stand at the foot (B4): in odd columns of the first layer, even ones of the next, and so on."""
        return (self.number + self.layer) % 2 == 0


def columns_of(face: Face, width_mm: float, p: Parameters) -> tuple[list[Column], list[Finding]]:
    """The columns of every layer, from left to right. Joints stand on stud lines, away from opening edges where that can be.

    Args: width_mm: of the widest board.
    """
    columns: list[Column] = []
    found: list[Finding] = []
    before: set[float] = set()
    for layer in range(1, p.board_layers + 1):
        joints_here: set[float] = set()
        for a, b in face.segments():
            joints = _joints(face, a, b, width_mm, layer, before, p, found)
            joints_here |= set(joints)
            ends = [a, *joints, b]
            columns += [Column(layer, i, u, v) for i, (u, v) in enumerate(pairwise(ends), start=1)]
        before = joints_here
    return columns, found


def _joints(
    face: Face, a: float, b: float, width: float, layer: int, before: set[float], p: Parameters, found: list[Finding]
) -> list[float]:
    """The joints of one segment [a, b] of one layer."""
    jambs = {stud.x_mm for stud in face.lined.studs if stud.jamb}
    lines = [stud.x_mm for stud in face.lined.studs if a + EPSILON < stud.x_mm < b - EPSILON]
    joints: list[float] = []
    start = a
    while True:
        rest, half = b - start, layer % 2 == 0 and not joints  # a further layer starts with half a board
        if rest <= (width / 2 if half else width) + EPSILON:
            break
        joint = _furthest(lines, jambs, before, start, width / 2 if half else width, p)
        if half and (joint is None or joint - start < p.board_min_width_mm - EPSILON):
            if rest <= width + EPSILON:
                break
            joint = _furthest(lines, jambs, before, start, width, p)
        if joint is None:
            joint = start + width
        joints.append(joint)
        start = joint
    _widen_last(joints, lines, jambs, a, b, width, p)
    for joint in joints:
        if joint in jambs:
            _report_on_jamb(face, joint, found)
    return joints


def _furthest(
    lines: list[float], jambs: set[float], before: set[float], start: float, reach: float, p: Parameters
) -> float | None:
    """The best line for a joint: one that leaves a legal strip, not in line with an opening's edge, not on a joint of the layer
    before, and then the furthest."""
    within = [x for x in lines if start + EPSILON < x <= start + reach + EPSILON]
    least = p.board_min_width_mm - EPSILON
    return max(within, key=lambda x: (x - start >= least, x not in jambs, x not in before, x), default=None)


def _widen_last(
    joints: list[float], lines: list[float], jambs: set[float], a: float, b: float, width: float, p: Parameters
) -> None:
    """A last strip under the least width moves the joint before it back to another line, where that leaves legal strips."""
    if not joints or b - joints[-1] >= p.board_min_width_mm - EPSILON:
        return
    start = joints[-2] if len(joints) > 1 else a
    legal = [
        x
        for x in lines
        if x < joints[-1] - EPSILON
        and p.board_min_width_mm - EPSILON <= b - x <= width + EPSILON
        and x - start >= p.board_min_width_mm - EPSILON
    ]
    if legal:
        joints[-1] = max(legal, key=lambda x: (x not in jambs, x))


def report_off_stud(face: Face, joint: float, found: list[Finding]) -> None:
    """Over a low strip boards span from trim to channel and may join anywhere (S4); elsewhere a joint needs a stud."""
    run = face.lined.stretch.run
    if any(o.left_mm < joint < o.right_mm for o in run.openings):
        return
    span = run.span_at(joint)
    message = f"The board joint at x = {joint - span.start_mm:.0f} mm has no stud behind it: back it with a strip of channel."
    found.append(finding(FindingCode.JOINT_OFF_STUD, message, run.room, span.ordinal))


def _report_on_jamb(face: Face, joint: float, found: list[Finding]) -> None:
    run = face.lined.stretch.run
    span = run.span_at(joint)
    message = (
        f"The board joint at x = {joint - span.start_mm:.0f} mm is in line with an opening's edge, where joints crack: no other "
        "stud line is in reach."
    )
    found.append(finding(FindingCode.JOINT_ON_JAMB_LINE, message, run.room, span.ordinal))
