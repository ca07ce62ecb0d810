"""Over 1,000 random rooms every rule, finding and awkward place comes up often enough to be tested; and all are taken off."""

import random
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from itertools import pairwise

from rooms.dice import SeededDice
from rooms.inputs import takeoff_input
from rooms.surveys import Case, fault_thrown, random_case

from properties.quantities import objections
from properties.referees import OF_A_RUN, OF_A_SURVEY, breaches, framed
from service.engine.geometry.faults import geometry_faults
from service.engine.inputs import Opening, Room, Wall
from service.engine.recipe import take_off
from service.engine.results import Framing
from service.finding_codes import FindingCode
from service.vocabulary import ROLL_COMPONENTS, SHEET_COMPONENTS, EndKind, Role

ROOMS = 1000
AT_LEAST = ROOMS // 100

RULES = (
    *("F1", "F2", "F3", "F4"),
    *("S1", "S2", "S3", "S4", "S5", "S6", "S7"),
    *("R1", "R2", "R3", "R4"),
    *("C1", "C2", "C3", "C4"),
    *("X1", "X2"),
)
OF_FAULTS = {FindingCode.OPENING_OUTSIDE_WALL, FindingCode.OPENINGS_OVERLAP, FindingCode.OFFSET_OUT_OF_REACH}
"""Codes for which a survey is refused."""
OF_FRAMES = (
    FindingCode.LOOP_NOT_CLOSED,
    FindingCode.CORNER_ANGLES_OFF,
    FindingCode.NO_ROOM_FOR_FRAME,
    FindingCode.SINGLE_STUD,
    FindingCode.FRAME_ENDS_LOW,
    FindingCode.FRAME_STEP,
    FindingCode.NIB_END_STUD_ONLY,
    FindingCode.NIB_PACKER,
    FindingCode.OPENING_BEHIND_LINING,
    FindingCode.PIER_SINGLE_STUD,
    FindingCode.PIER_PACKER,
    FindingCode.SPLICE_OFF_ROW,
    FindingCode.EXTRA_RAIL_ROW,
    FindingCode.SPAN_OVER_LIMIT,
    FindingCode.CORNER_STUD_SPAN,
    FindingCode.FRAME_UNHELD,
    FindingCode.TRIM_JOINT_UNSUPPORTED,
)


def _cases() -> Iterable[Case]:
    return (random_case(random.Random(seed)) for seed in range(ROOMS))


def _rules_in(case: Case, framing: Framing) -> set[str]:
    """Rules named by members, brackets and fixings; F1 and F3 show in where frames end and where none is."""
    found = {
        rule
        for layout in framing.layouts
        for thing in (*layout.members, *layout.brackets, *layout.fixings)
        for rule in thing.rules
    }
    kinds = {kind for layout in framing.layouts for kind in (layout.frame.left, layout.frame.right)}
    if kinds & {EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER, EndKind.UNLINED_WALL}:
        found.add("F1")
    if any(not wall.lined for wall in case.room.walls) or EndKind.LOW_CEILING in kinds:
        found.add("F3")
    return found


def _walls(test: Callable[[Wall], bool]) -> Callable[[Room], bool]:
    return lambda room: any(test(wall) for wall in room.walls)


def _openings(test: Callable[[Wall, Opening], bool]) -> Callable[[Room], bool]:
    return lambda room: any(test(wall, o) for wall in room.walls for o in wall.openings)


def _corner(degrees: float) -> Callable[[Room], bool]:
    return lambda room: any(wall.corner_deg == degrees for wall in room.walls)


def _pier(least: float, most: float) -> Callable[[Room], bool]:
    return _walls(lambda wall: any(least <= b.left_mm - a.right_mm <= most for a, b in pairwise(wall.openings)))


def _between(kind: tuple[float, float], length: float) -> Callable[[Room], bool]:
    """A wall of this length between two corners of these angles: a return, a recess."""
    return lambda room: any(
        (a.corner_deg, b.corner_deg) == kind and b.length_mm == length for a, b in pairwise((*room.walls, room.walls[0]))
    )


def _ceiling_gap(wall: Wall, o: Opening) -> float:
    return min(wall.ceiling_at(x) for x in (o.left_mm, o.right_mm)) - o.head_mm


PLACES: dict[str, Callable[[Room], bool]] = {
    "nib of 0 to 100": _openings(lambda wall, o: 0 <= o.left_mm <= 100 or 0 <= wall.length_mm - o.right_mm <= 100),
    "pier of 40": _pier(40, 40),
    "pier of 60": _pier(60, 60),
    "pier of 200": _pier(200, 200),
    "chimney breast with returns of 350": _between((90.0, 270.0), 350),
    "recess of 180": _between((270.0, 90.0), 180),
    "floor-to-ceiling glazing": _openings(
        lambda wall, o: o.sill_mm <= wall.floor_at(o.left_mm) + 50 and abs(_ceiling_gap(wall, o)) <= 50
    ),
    "head 40 under the ceiling": _openings(lambda wall, o: _ceiling_gap(wall, o) == 40),
    "ceiling down to nothing": _walls(lambda wall: min(wall.height_left_mm, wall.height_right_mm) == 0),
    "stairwell of 5 m": _walls(lambda wall: max(wall.height_left_mm, wall.height_right_mm) >= 5000),
    "raking ceiling": _walls(lambda wall: wall.height_left_mm != wall.height_right_mm),
    "sloping floor": _walls(lambda wall: wall.floor_left_mm != wall.floor_right_mm),
    "one opening above another": _walls(
        lambda wall: any(a.left_mm < b.right_mm and b.left_mm < a.right_mm for a, b in pairwise(wall.openings))
    ),
    "unlined wall": _walls(lambda wall: not wall.lined),
    "wall with an offset of its own": _walls(lambda wall: wall.frame_offset_mm is not None),
    "proud wall": _walls(lambda wall: wall.proud_mm > 0),
    "hearth": _openings(lambda wall, o: o.kind == "hearth"),
    "run longer than stock": _walls(lambda wall: wall.length_mm > 3600),
    "stud longer than stock": _walls(lambda wall: max(wall.height_left_mm, wall.height_right_mm) > 3700),
    **{f"corner of {degrees:g}": _corner(degrees) for degrees in (60.0, 120.0, 135.0, 157.0, 178.0, 195.0, 225.0, 270.0, 300.0)},
}


def test_every_rule_finding_and_awkward_place_comes_up_in_one_room_of_a_hundred_and_all_keep_the_rules() -> None:
    rules: Counter[str] = Counter()
    codes: Counter[FindingCode] = Counter()
    places: Counter[str] = Counter()
    objected = []
    for case in _cases():
        framing = framed(case)
        objected += breaches(case, framing, *OF_A_RUN, *OF_A_SURVEY)
        rules.update(_rules_in(case, framing))
        codes.update({f.code for f in framing.findings})
        places.update(name for name, test in PLACES.items() if test(case.room))
    assert {rule: rules[rule] for rule in RULES if rules[rule] < AT_LEAST} == {}
    assert {code: codes[code] for code in OF_FRAMES if codes[code] < AT_LEAST} == {}
    assert {name: places[name] for name in PLACES if places[name] < AT_LEAST} == {}
    assert objected == []


def test_a_thousand_rooms_are_cut_and_scheduled_to_the_last_member() -> None:
    """With each component's longest bar alone, which leaves the frame as it is and the plans quick to prove; sheets and rolls
    are on offer for every tenth room, elsewhere their pieces must be said to be without."""
    codes: Counter[FindingCode] = Counter()
    roles: Counter[Role] = Counter()
    objected = []
    for number, case in enumerate(_cases()):
        longest = replace(case, stud_stock_mm=(max(case.stud_stock_mm),), channel_stock_mm=(max(case.channel_stock_mm),))
        given = takeoff_input(longest)
        if number % 10:
            given = replace(given, items=tuple(item for item in given.items if item.component not in FLAT))
        takeoff = take_off(given)
        objected += objections(given, takeoff)
        codes.update({f.code for f in takeoff.findings})
        roles.update({m.role for layout in takeoff.layouts for m in layout.members})
    assert objected == []
    assert codes[FindingCode.FLOOR_AREA_LOST] >= AT_LEAST
    assert {role: roles[role] for role in Role if roles[role] < AT_LEAST} == {}


FLAT = SHEET_COMPONENTS | ROLL_COMPONENTS


def test_every_reason_to_refuse_a_survey_comes_up() -> None:
    codes: Counter[FindingCode] = Counter()
    for seed in range(200):
        faulty = fault_thrown(SeededDice(random.Random(seed)))
        codes.update({f.code for f in geometry_faults(faulty.case.rooms, faulty.case.parameters)})
    assert {code: codes[code] for code in OF_FAULTS if codes[code] < 2} == {}
