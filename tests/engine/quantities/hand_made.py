"""Layouts put together by hand, so that the arithmetic after them can be followed without the arithmetic before them."""

from collections.abc import Sequence

from service.engine.inputs import Item
from service.engine.results import Bracket, Fixings, FrameLine, Member, WallLayout
from service.vocabulary import ROLE_COMPONENTS, Component, Direction, EndKind, Role


def members(room: int, wall: int, *lengths_mm: int, role: Role = Role.STUD) -> tuple[Member, ...]:
    return tuple(
        Member(
            id=f"{room}/{wall}/{role}-{n:02}",
            role=role,
            component=ROLE_COMPONENTS[role],
            room=room,
            wall=wall,
            x_mm=600.0 * n,
            y_mm=0.0,
            length_mm=length,
            direction=Direction.UP,
            rules=("S3", "S6"),
        )
        for n, length in enumerate(lengths_mm, 1)
    )


def brackets(of: Sequence[Member]) -> tuple[Bracket, ...]:
    return tuple(
        Bracket(id=f"{m.room}/{m.wall}/bracket-{n:02}", x_mm=m.x_mm, y_mm=1300, member_id=m.id, rail_id="", projection_mm=60)
        for n, m in enumerate(of, 1)
    )


def fixings(room: int, wall: int, count: int, terms: str, component: Component = Component.FRAME_SCREW) -> Fixings:
    return Fixings(
        component=component, role=Role.STUD, room=room, wall=wall, count=count, terms=terms, members=("x",), rules=("X2",)
    )


def layout(room: int, wall: int, of: Sequence[Member] = (), frame: FrameLine | None = None, **rest: tuple) -> WallLayout:
    return WallLayout(
        room=room,
        wall=wall,
        frame=frame or frame_line(0, 4000),
        members=tuple(of),
        brackets=rest.get("brackets", ()),
        fixings=rest.get("fixings", ()),
    )


def frame_line(finished_x0: float, finished_x1: float) -> FrameLine:
    return FrameLine(
        x0_mm=finished_x0,
        x1_mm=finished_x1,
        channel_x0_mm=finished_x0,
        channel_x1_mm=finished_x1,
        finished_x0_mm=finished_x0,
        finished_x1_mm=finished_x1,
        offset_mm=100,
        finished_face_mm=112.5,
        left=EndKind.UNLINED_WALL,
        right=EndKind.UNLINED_WALL,
        right_runs_through=False,
    )


def bar(length_mm: int, price_minor: object = None, **rest: object) -> Item:
    return Item(component=Component.C_STUD, length_mm=length_mm, price_minor=price_minor, **rest)  # type: ignore[arg-type]
