"""Names everything that was framed in a room and gives each wall what stands on it."""

from collections.abc import Mapping

from service.engine.framing.assembly import FramedStretch, beyond_right, stands_on
from service.engine.framing.fixings import channel_screws, corner_stud_screws, end_stud_fixings, run_fixings, stud_screws
from service.engine.framing.labels import brackets_of, member_of, name_pieces
from service.engine.geometry.runs import Stretch, WallSpan
from service.engine.inputs import Room
from service.engine.parameters import Parameters
from service.engine.results import Fixings, FrameLine, WallLayout
from service.engine.units import EPSILON
from service.vocabulary import Component, EndKind, Role


def layouts_of(
    number: int, room: Room, framed: list[FramedStretch], components: Mapping[Role, Component], p: Parameters
) -> list[WallLayout]:
    """Names everything and gives each wall what stands on it."""
    named = name_pieces([piece for part in framed for piece in part.pieces], number)
    fixings = [f for part in framed for f in _fixings(part, framed, number, room, p)]
    members = [member_of(piece, number, components) for piece in named]
    layouts = []
    for part in framed:
        stretch = part.stretch
        projection = stretch.run.offset_mm - p.stud_depth_mm - p.rail_depth_mm
        for span in stretch.run.spans:
            if stands_on(stretch, span):
                layouts.append(
                    WallLayout(
                        room=number,
                        wall=span.ordinal,
                        frame=_frame_line(stretch, span, p),
                        members=tuple(m for m in members if m.wall == span.ordinal),
                        brackets=brackets_of(part.holds, number, span.ordinal, projection),
                        fixings=tuple(f for f in fixings if f.wall == span.ordinal),
                    )
                )
    return sorted(layouts, key=lambda layout: layout.wall)


def _fixings(part: FramedStretch, framed: list[FramedStretch], number: int, room: Room, p: Parameters) -> list[Fixings]:
    rails = [piece for rail in part.rails for piece in rail.pieces]
    fixings = [
        *run_fixings([*part.channels, *rails], number, room, p),
        *stud_screws(part.lines, number, p),
        *channel_screws([*part.profile, *part.channels], number),
        *end_stud_fixings(part.stretch.left, part.end_stud(right=False), number, p),
        *end_stud_fixings(part.stretch.right, part.end_stud(right=True), number, p),
    ]
    other = beyond_right(part, framed)
    if other is not None and part.stretch.right is not None and part.stretch.right.kind is EndKind.EXTERNAL_CORNER:
        fixings += corner_stud_screws(part.end_stud(right=True), other.end_stud(right=False), number, p)
    return fixings


def _frame_line(stretch: Stretch, span: WallSpan, p: Parameters) -> FrameLine:
    """The stretch as it passes this wall, in the wall's own x."""
    run, start = stretch.run, span.start_mm
    at_left = span is run.spans[0] or stretch.x0_mm >= start - EPSILON
    at_right = span is run.spans[-1] or stretch.x1_mm <= span.end_mm + EPSILON
    left = EndKind.JOINED if not at_left else (stretch.left.kind if stretch.left else EndKind.LOW_CEILING)
    right = EndKind.JOINED if not at_right else (stretch.right.kind if stretch.right else EndKind.LOW_CEILING)
    return FrameLine(
        x0_mm=stretch.x0_mm - start if at_left else 0.0,
        x1_mm=stretch.x1_mm - start if at_right else span.wall.length_mm,
        channel_x0_mm=stretch.channel_x0_mm - start if at_left else 0.0,
        channel_x1_mm=stretch.channel_x1_mm - start if at_right else span.wall.length_mm,
        finished_x0_mm=stretch.finished_x0_mm - start if at_left else 0.0,
        finished_x1_mm=stretch.finished_x1_mm - start if at_right else span.wall.length_mm,
        offset_mm=run.offset_mm,
        finished_face_mm=run.offset_mm + p.lining_thickness_mm,
        left=left,
        right=right,
        right_runs_through=right in (EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER),
    )
