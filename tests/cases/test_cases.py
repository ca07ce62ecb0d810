"""Walls worked by hand, one folder a setting-out rule: the engine must find what a person finds on paper.

The expected figures come from the rules by hand arithmetic, which stands in each file; none was taken from the engine.
"""

from pathlib import Path

import pytest
from case_expectations import POSITION_TOLERANCE_MM, differences
from case_reader import Case, case_paths, read_case

from service.engine.framing.frame import frame_survey
from service.engine.geometry.faults import geometry_faults
from service.engine.inputs import Opening
from service.engine.results import Finding, Framing, Member, WallLayout
from service.finding_codes import Severity
from service.vocabulary import RAIL_ROLES, ROLE_COMPONENTS, STUD_ROLES, Direction, EndKind, Role

PATHS = list(case_paths())


def _answer(case: Case) -> tuple[Framing, tuple[Finding, ...]]:
    """A survey with an opening that overlaps or leaves its wall is refused, so it is not framed."""
    faults = geometry_faults(case.rooms, case.parameters)
    if any(f.opening is not None and f.severity == Severity.ERROR for f in faults):
        return Framing(layouts=(), findings=()), faults
    framing = frame_survey(case.rooms, case.parameters, ROLE_COMPONENTS, case.stock)
    return framing, (*faults, *framing.findings)


@pytest.mark.parametrize("path", PATHS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_the_engine_agrees_with_the_sum_on_paper(path: Path) -> None:
    case = read_case(path)
    framing, findings = _answer(case)
    told = [line for expectation in case.expectations for line in differences(expectation, framing, findings)]
    for layout in framing.layouts:
        told += _broken_always(layout, case)
    if told:
        pytest.fail(
            "\n".join([f"{case.name}: {case.why}", *(f"  - {line}" for line in told), "", case.arithmetic]), pytrace=False
        )


def _broken_always(layout: WallLayout, case: Case) -> list[str]:
    """What holds on every wall, whatever the case is about.

    Whole mm (Q0), no longer than stock (C4, S7), no stud in an opening (S2) or outside its channel (F1), rails on masonry (R2),
    a bracket for every short stud over the limit (R4), and no place with two brackets.
    """
    wall = case.rooms[layout.room - 1].walls[layout.wall - 1]
    half_face = case.parameters.stud_face_mm / 2
    held = {b.member_id for b in layout.brackets}
    places = [(round(b.x_mm, 2), round(b.y_mm, 2)) for b in layout.brackets]
    told = [f"two brackets at {place}" for place in sorted(set(places)) if places.count(place) > 1]
    for m in layout.members:
        if not isinstance(m.length_mm, int) or m.length_mm <= 0:
            told.append(f"{m.id}: length {m.length_mm!r} is not a whole number of mm above 0")
        if m.length_mm > max(case.stock[m.component]):
            told.append(f"{m.id}: {m.length_mm} mm is longer than any stock")
        if m.role in STUD_ROLES:
            told += [f"{m.id}: enters {o.kind} at {o.left_mm:g}" for o in wall.openings if _enters(m, o, half_face)]
            if EndKind.JOINED not in (layout.frame.left, layout.frame.right) and not (
                layout.frame.channel_x0_mm - 0.01 <= m.x_mm - half_face
                and m.x_mm + half_face <= layout.frame.channel_x1_mm + 0.01
            ):
                told.append(f"{m.id}: at {m.x_mm:g} stands outside its channel")
            unheld = m.length_mm > case.parameters.short_stud_bracket_over_mm and m.id not in held
            if m.role == Role.SHORT_STUD and unheld and m.joined_to is None:
                told.append(f"{m.id}: at {m.x_mm:g} is {m.length_mm} long and hangs on no bracket")
        if m.role in RAIL_ROLES and len(case.rooms[layout.room - 1].walls) == 1:
            beyond = max(-m.x_mm, m.x_mm + m.length_mm - wall.length_mm)
            if beyond > POSITION_TOLERANCE_MM:
                told.append(f"{m.id}: runs {beyond:g} mm past the masonry")
    return told


def _enters(member: Member, opening: Opening, half_face_mm: float) -> bool:
    assert member.direction == Direction.UP
    beside = member.x_mm + half_face_mm <= opening.left_mm + 0.01 or member.x_mm - half_face_mm >= opening.right_mm - 0.01
    above_or_below = member.y_mm + member.length_mm <= opening.sill_mm + 0.01 or member.y_mm >= opening.head_mm - 0.01
    return not beside and not above_or_below


def test_every_rule_of_the_frame_has_at_least_two_walls_worked_by_hand() -> None:
    rules = ["F1", "F2", "F3", "F4", "S1", "S2", "S3", "S4", "S5", "S6", "S7", "R1", "R2", "R3", "R4", "C1", "C2", "C3", "C4"]
    folders = [path.parent.name for path in PATHS]
    assert {rule: folders.count(rule) for rule in [*rules, "X1", "X2", "Q0"] if folders.count(rule) < 2} == {}
