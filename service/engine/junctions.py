"""Every place where a lining meets something else, and what fixes, seals and trims it there: rule X3.

Read off the finished layout, not off the rules that made it: a junction for which nothing was ordered names nothing.
"""

from service.engine.findings import finding
from service.engine.inputs import REACHES_MM, Opening, Room, Wall
from service.engine.results import Finding, Junction, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import Component, EndKind, JunctionKind, OpeningKind, Role

CUT_BY_HAND = {
    EndKind.STEP: "the step at its corner",
    EndKind.LOW_CEILING: "the end under the low ceiling",
}


def junctions_of(layout: WallLayout, room: Room) -> tuple[tuple[Junction, ...], list[Finding]]:
    """The junctions of one wall, and a finding for each that lacks its fixing, seal or trim."""
    wall = room.walls[layout.wall - 1]
    place = _Place(layout)
    junctions = [*place.channels(), *place.end(layout.frame.left, right=False), *place.end(layout.frame.right, right=True)]
    for ordinal, opening in enumerate(wall.openings, start=1):
        if layout.frame.x0_mm < opening.right_mm and opening.left_mm < layout.frame.x1_mm:
            junctions += place.opening(opening, ordinal, wall)
    return tuple(junctions), [lack for junction in junctions if (lack := _lack(junction, layout, wall)) is not None]


class _Place:
    """What a layout has, asked for by the junction it serves."""

    def __init__(self, layout: WallLayout) -> None:
        self._layout = layout
        self._roles = {member.role for member in layout.members}
        self._used = {(usage.component, usage.where) for usage in layout.usages}
        self._fixed = {(fixings.role, fixings.component) for fixings in layout.fixings}

    def channels(self) -> list[Junction]:
        found = []
        if Role.FLOOR_CHANNEL in self._roles:
            seal = self._seal("floor channel")
            found.append(
                self._junction(JunctionKind.FLOOR, self._fixing(Role.FLOOR_CHANNEL), seal, "gap under the boards, for a skirting")
            )
        if Role.CEILING_CHANNEL in self._roles:
            trim = self._trim(Component.JOINT_TAPE, "ceiling line")
            found.append(
                self._junction(JunctionKind.CEILING, self._fixing(Role.CEILING_CHANNEL), self._seal("ceiling channel"), trim)
            )
        return found

    def end(self, kind: EndKind, *, right: bool) -> list[Junction]:
        """A corner of two linings is one junction, with its left-hand wall."""
        lap = "lap tape" if (Component.LAP_TAPE, "lap at the corner") in self._used else None
        if kind is EndKind.INTERNAL_CORNER and right:
            fixing = "corner profile" if Role.CORNER_PROFILE in self._roles else None
            return [
                self._junction(JunctionKind.INTERNAL_CORNER, fixing, lap, self._trim(Component.JOINT_TAPE, "internal corner"))
            ]
        if kind is EndKind.EXTERNAL_CORNER and right:
            fixing = "corner studs screwed together" if any("S1" in f.rules for f in self._layout.fixings) else None
            return [
                self._junction(JunctionKind.EXTERNAL_CORNER, fixing, lap, self._trim(Component.CORNER_BEAD, "external corner"))
            ]
        if kind is EndKind.UNLINED_WALL:
            fixing = self._fixing(Role.END_STUD) or "bonded packer"
            trim = self._trim(Component.STOP_BEAD, "edge against an unlined wall")
            return [self._junction(JunctionKind.UNLINED_WALL, fixing, self._seal("ends"), trim)]
        if kind is EndKind.STOP_END:
            fixing = self._fixing(Role.STOP_END_CHANNEL)
            return [
                self._junction(JunctionKind.STOP_END, fixing, self._seal("ends"), self._trim(Component.CORNER_BEAD, "stop end"))
            ]
        if kind in CUT_BY_HAND:
            return [self._junction(JunctionKind.STOP_END, None, None, None)]
        return []

    def opening(self, o: Opening, ordinal: int, wall: Wall) -> list[Junction]:
        tape = "lap tape" if (Component.LAP_TAPE, "round openings") in self._used else None
        lined = any(piece.opening == ordinal for piece in self._layout.reveals)
        bead = self._trim(Component.CORNER_BEAD, "reveal arrises") if lined else None
        jamb = "jamb studs" if Role.JAMB_STUD in self._roles else "end stud or bonded packer"
        found = [self._junction(JunctionKind.JAMB, jamb, tape, bead, ordinal)]
        ends = (o.left_mm, o.right_mm)
        if max(wall.ceiling_at(x) - o.head_mm for x in ends) > REACHES_MM:
            found.append(self._junction(JunctionKind.HEAD, self._trim_channel(Role.HEAD_TRIM, o.head_mm), tape, bead, ordinal))
        if max(o.sill_mm - wall.floor_at(x) for x in ends) > REACHES_MM:
            trim = "lining of the sill" if lined and o.board_sill else "edge against the sill that is there"
            found.append(self._junction(JunctionKind.SILL, self._trim_channel(Role.SILL_TRIM, o.sill_mm), tape, trim, ordinal))
        return found

    def _junction(
        self, kind: JunctionKind, fixing: str | None, seal: str | None, trim: str | None, opening: int | None = None
    ) -> Junction:
        layout = self._layout
        return Junction(kind=kind, room=layout.room, wall=layout.wall, fixing=fixing, seal=seal, trim=trim, opening=opening)

    def _fixing(self, role: Role) -> str | None:
        for component in (Component.TIMBER_FIXING, Component.MASONRY_FIXING):
            if (role, component) in self._fixed:
                return component.value.replace("_", " ")
        return None

    def _seal(self, where: str) -> str | None:
        return "sealant" if (Component.SEALANT, where) in self._used else None

    def _trim(self, component: Component, where: str) -> str | None:
        return component.value.replace("_", " ") if (component, where) in self._used else None

    def _trim_channel(self, role: Role, y_mm: float) -> str | None:
        at_edge = any(m.role is role and abs(m.y_mm - y_mm) < 1 for m in self._layout.members)
        return role.value.replace("_", " ") if at_edge else None


def _lack(junction: Junction, layout: WallLayout, wall: Wall) -> Finding | None:
    lacking = [word for word in ("fixing", "seal", "trim") if getattr(junction, word) is None]
    if not lacking:
        return None
    what = f"No {' and no '.join(lacking)} is named for {_where(junction, layout, wall)}"
    if junction.opening is not None and wall.openings[junction.opening - 1].kind is OpeningKind.HEARTH:
        advice = "a hearth's edge is made with what its appliance and the local code allow, by someone licensed for it."
    else:
        advice = "decide on site how it is closed."
    return finding(FindingCode.JUNCTION_INCOMPLETE, f"{what}: {advice}", junction.room, junction.wall, junction.opening)


def _where(junction: Junction, layout: WallLayout, wall: Wall) -> str:
    if junction.opening is not None:
        return f"the {junction.kind} of the {wall.openings[junction.opening - 1].kind}"
    for kind in (layout.frame.left, layout.frame.right):
        if junction.kind is JunctionKind.STOP_END and kind in CUT_BY_HAND:
            return CUT_BY_HAND[kind]
    return f"the {junction.kind.replace('_', ' ')}"
