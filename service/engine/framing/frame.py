"""The frame of a survey: every stud, rail, bracket, channel and fixing of every lined wall.

Runs are set out one by one; corners are made when it is known which runs carry a frame; then everything is given to the wall
on which it stands, and named.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from service.engine.findings import finding, in_order
from service.engine.framing.assembly import FramedStretch, as_lined, beyond_left, beyond_right, stands_on
from service.engine.framing.brackets import hold_findings, hold_profile, hold_studs
from service.engine.framing.channels import corner_profile, floor_and_ceiling, stop_ends, trims
from service.engine.framing.layouts import layouts_of
from service.engine.framing.pieces import StudLine
from service.engine.framing.rails import cut_rail, opening_rails, row_heights, row_stretches
from service.engine.framing.stud_lines import Refused, set_out_lines
from service.engine.framing.uprights import splice, stand, strips_at
from service.engine.geometry.closure import loop_findings
from service.engine.geometry.corners import LEAST_HEIGHT_MM
from service.engine.geometry.lined import LinedStretch
from service.engine.geometry.runs import Run, Stretch, runs_of, stretches_of
from service.engine.inputs import Room
from service.engine.parameters import Parameters
from service.engine.results import Finding, Framing, WallLayout
from service.engine.units import EPSILON
from service.finding_codes import FindingCode
from service.vocabulary import Component, EndKind, Role


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame's layouts and findings, and what the lining's further stages stand on."""

    framing: Framing
    lined: tuple[LinedStretch, ...]


def frame_survey(
    rooms: tuple[Room, ...],
    parameters: Parameters,
    components: Mapping[Role, Component],
    stock_lengths: Mapping[Component, tuple[int, ...]],
) -> Framing:
    """The frame alone: `set_out_frame` without what further stages need."""
    return set_out_frame(rooms, parameters, components, stock_lengths).framing


def set_out_frame(
    rooms: tuple[Room, ...],
    parameters: Parameters,
    components: Mapping[Role, Component],
    stock_lengths: Mapping[Component, tuple[int, ...]],
) -> Frame:
    """Sets out the frame of every lined wall.

    Args:
        rooms: a survey without geometry faults. parameters: of the lining. components: what each role is cut from.
        stock_lengths: lengths in mm that each component is sold in; runs and studs longer than the longest are split or spliced.
    Returns:
        One layout for each lined wall that carries a frame, in survey order; a wall without one has a finding that says why.
    Source: setting-out rules F1 to F4, S1 to S7, R1 to R4, C1 to C4, X1, X2, Q0.
    """
    longest = {
        role: max(lengths) if (lengths := stock_lengths.get(component)) else None for role, component in components.items()
    }
    layouts: list[WallLayout] = []
    lined: list[LinedStretch] = []
    found: list[Finding] = []
    for number, room in enumerate(rooms, start=1):
        found += loop_findings(number, room)
        framed, why_not = _framed_stretches(number, room, parameters)
        found += why_not
        found += _steps(framed)
        _corners(framed, longest, parameters)
        for part in framed:
            found += _members(part, framed, longest, parameters)
        layouts += layouts_of(number, room, framed, components, parameters)
        lined += [as_lined(part, framed) for part in framed]
    return Frame(Framing(layouts=tuple(layouts), findings=in_order(found)), tuple(lined))


def _framed_stretches(number: int, room: Room, p: Parameters) -> tuple[list[FramedStretch], list[Finding]]:
    """The stud lines of every stretch that carries a frame; findings, among them why a wall carries none."""
    framed, found = [], []
    for run in runs_of(number, room, p):
        stretches = stretches_of(run)
        found += [*_low_walls(run, stretches), *_hidden_walls(run, stretches)]
        for stretch in stretches:
            try:
                lines, more = set_out_lines(stretch, p, lambda x, run=run: bool(strips_at(run, x, p)))  # type: ignore[misc]
            except Refused as refusal:
                found += _refused(refusal.finding, stretch)
                continue
            part = FramedStretch(stretch, [StudLine(x, role, rules) for x, role, rules in lines])
            for line in part.lines:
                stand(stretch, line, p)
            framed.append(part)
            found += more
    return framed, found


def _low_walls(run: Run, stretches: list[Stretch]) -> list[Finding]:
    found = []
    for span in run.spans:
        ends = (span.start_mm, span.end_mm)
        low = min(span.ceiling_at(x) - span.floor_at(x) for x in ends) < LEAST_HEIGHT_MM - EPSILON
        if not stretches or (low and any(s.left is None or s.right is None for s in stretches)):
            message = f"The frame ends where the height falls under {LEAST_HEIGHT_MM:.0f} mm."
            if not any(stands_on(s, span) for s in stretches):
                message = f"No frame stands where the height is under {LEAST_HEIGHT_MM:.0f} mm, as it is along this wall."
            found.append(finding(FindingCode.FRAME_ENDS_LOW, message, run.room, span.ordinal))
    return found


def _hidden_walls(run: Run, stretches: list[Stretch]) -> list[Finding]:
    """Walls so short that the lining of the next one covers them."""
    message = "No frame stands on this wall: the lining at its corner covers all of it."
    return [
        finding(FindingCode.NO_ROOM_FOR_FRAME, message, run.room, span.ordinal)
        for span in run.spans
        if stretches
        and not any(stands_on(s, span) for s in stretches)
        and max(span.wall.height_left_mm, span.wall.height_right_mm) >= LEAST_HEIGHT_MM
    ]


def _steps(framed: list[FramedStretch]) -> list[Finding]:
    """Walls all but in line whose frames stand at different depths: said once, on the left-hand one."""
    found = []
    for part in framed:
        other, run = beyond_right(part, framed, (EndKind.STEP,)), part.stretch.run
        if other is not None:
            step = other.stretch.run.offset_mm - run.offset_mm
            message = (
                f"The frame steps {'out' if step > 0 else 'back'} by {abs(step):g} mm at its right-hand corner of "
                f"{run.right.corner_deg:g} degrees: both frames end there. Give the walls one offset, or close the step by hand."
            )
            found.append(finding(FindingCode.FRAME_STEP, message, run.room, run.spans[-1].ordinal))
    return found


def _refused(why: Finding, stretch: Stretch) -> list[Finding]:
    """The reason, and on the other walls of the run that they go without because of it."""
    others = [s.ordinal for s in stretch.run.spans if s.ordinal != why.wall and stands_on(stretch, s)]
    message = f"No lining is set out: the wall is one run with wall {why.wall}, which has no room for it."
    return [why, *(finding(why.code, message, why.room, ordinal) for ordinal in others)]


def _corners(framed: list[FramedStretch], longest: Mapping[Role, int | None], p: Parameters) -> None:
    """C2: a corner profile with the left-hand wall at every internal corner where two frames meet."""
    for part in framed:
        other = beyond_right(part, framed)
        if other is not None and part.stretch.right is not None and part.stretch.right.kind is EndKind.INTERNAL_CORNER:
            here, there = part.stretch.run.spans[-1].wall, other.stretch.run.spans[0].wall
            height = min(here.height_right_mm, there.height_left_mm)
            part.profile = corner_profile(part.stretch, height, longest[Role.CORNER_PROFILE], p)


def _members(
    part: FramedStretch, framed: list[FramedStretch], longest: Mapping[Role, int | None], p: Parameters
) -> list[Finding]:
    """Rails, brackets, channels and trims of a stretch; splices of studs that are too long."""
    stretch, found = part.stretch, []
    left = beyond_left(part, framed)
    far_left = stretch.channel_x0_mm - p.stud_depth_mm if left is not None and left.profile else None
    far_right = stretch.channel_x1_mm + p.stud_depth_mm if part.profile else None
    rows = row_stretches(stretch, part.lines, p, profile_left_mm=far_left, profile_right_mm=far_right)
    part.rails = rows + opening_rails(stretch, part.lines, rows, p)
    found += _splices(part, longest, p)
    for rail in part.rails:
        cut_rail(rail, stretch, longest[rail.role], p)
    part.holds = hold_studs(part.rails, stretch)
    if part.profile:
        part.holds += hold_profile(rows, stretch, part.profile, p)
    part.channels = [
        *floor_and_ceiling(stretch, longest[Role.FLOOR_CHANNEL], longest[Role.CEILING_CHANNEL], p),
        *stop_ends(stretch, longest[Role.STOP_END_CHANNEL], p),
        *trims(stretch, part.lines, longest[Role.HEAD_TRIM], longest[Role.SILL_TRIM], p, found),
    ]
    found += hold_findings(part.lines, part.rails, part.holds, part.profile, stretch, p)
    found += _extra_rows(stretch, p)
    return found


def _splices(part: FramedStretch, longest: Mapping[Role, int | None], p: Parameters) -> list[Finding]:
    found = []
    for turn, line in enumerate(part.lines):
        for upright in line.uprights:
            stock = longest[upright.pieces[0].role]
            if stock is None or upright.length_mm <= stock:
                continue
            rows = sorted(r.y_mm for r in part.rails if any(held is upright for _, held in r.holds))
            if not splice(upright, rows, stock, p, turn=turn):
                span = upright.pieces[0].span
                message = (
                    f"The stud at x = {line.x_mm - span.start_mm:.0f} mm is {upright.length_mm} mm and the stock {stock} mm: "
                    "no splice can be made within 300 mm of a rail row. Hold the splice another way."
                )
                found.append(finding(FindingCode.SPLICE_OFF_ROW, message, part.stretch.run.room, span.ordinal))
    return found


def _extra_rows(stretch: Stretch, p: Parameters) -> list[Finding]:
    rows = row_heights(stretch, p)
    if len(rows) < 2:
        return []
    at = ", ".join(f"{y:.0f}" for y in rows)
    message = (
        f"{len(rows)} rows of rail, at {at} mm above the level line, keep the studs' spans within {p.max_stud_span_mm:g} mm."
    )
    return [
        finding(FindingCode.EXTRA_RAIL_ROW, message, stretch.run.room, span.ordinal)
        for span in stretch.run.spans
        if stands_on(stretch, span)
    ]
