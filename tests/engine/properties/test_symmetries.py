"""What must not change when the same room is measured in another way."""

import hashlib
import os
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rooms.surveys import Case, cases

from properties.reading import NEAR, Run, runs_of
from properties.referees import framed
from service.engine.inputs import Opening, Room, Wall
from service.engine.results import Framing, WallLayout
from service.finding_codes import FindingCode
from service.vocabulary import EndKind, Role

OF_PLACES = {
    FindingCode.NIB_PACKER,
    FindingCode.NIB_END_STUD_ONLY,
    FindingCode.PIER_PACKER,
    FindingCode.PIER_SINGLE_STUD,
    FindingCode.OPENING_BEHIND_LINING,
    FindingCode.NO_ROOM_FOR_FRAME,
    FindingCode.SINGLE_STUD,
    FindingCode.FRAME_ENDS_LOW,
    FindingCode.FRAME_STEP,
    FindingCode.EXTRA_RAIL_ROW,
    FindingCode.LOOP_NOT_CLOSED,
    FindingCode.CORNER_ANGLES_OFF,
}
"""Findings that do not depend on where the grid of studs begins."""


def _mirrored_opening(o: Opening, wall: Wall) -> Opening:
    return replace(o, offset_mm=wall.length_mm - o.right_mm)


def _mirrored(room: Room) -> Room:
    walls = room.walls
    return replace(
        room,
        walls=tuple(
            replace(
                wall,
                height_left_mm=wall.height_right_mm,
                height_right_mm=wall.height_left_mm,
                floor_left_mm=wall.floor_right_mm,
                floor_right_mm=wall.floor_left_mm,
                corner_deg=walls[i - 1].corner_deg if i or room.closed else 90.0,
                openings=tuple(_mirrored_opening(o, wall) for o in reversed(wall.openings)),
                features=(),
            )
            for i, wall in reversed(list(enumerate(walls)))
        ),
    )


def _one_above_another(wall: Wall) -> bool:
    return any(a is not b and a.left_mm < b.right_mm and b.left_mm < a.right_mm for a in wall.openings for b in wall.openings)


@given(cases())
def test_a_mirrored_room_has_the_mirrored_frame(case: Case) -> None:
    """Ends, jamb and end studs, channels, trims and corner profiles are symmetric; the grid begins at the left and is not.

    At an external corner the left-hand frame runs through: there channels and studs of the two walls change places.
    """
    room = case.room
    mirrored = replace(case, rooms=(_mirrored(room),))
    here = {layout.wall: layout for layout in framed(case).layouts}
    there = {len(room.walls) + 1 - layout.wall: layout for layout in framed(mirrored).layouts}
    if here.keys() != there.keys():  # what the right-hand frame gives up at an external corner may be all the room there is
        at_external = {n for n, wall in enumerate(room.walls, 1) if max(wall.corner_deg, room.walls[n - 2].corner_deg) > 180}
        assert (here.keys() ^ there.keys()) & at_external
        return
    for ordinal, layout in here.items():
        wall, other = room.walls[ordinal - 1], there[ordinal]
        assert abs(layout.frame.x0_mm - (wall.length_mm - other.frame.x1_mm)) < NEAR
        assert abs(layout.frame.finished_x1_mm - (wall.length_mm - other.frame.finished_x0_mm)) < NEAR
        assert (layout.frame.left, layout.frame.right) == (other.frame.right, other.frame.left)
        assert _trims(layout) == _trims(other)
    plain = not any(EndKind.EXTERNAL_CORNER in (layout.frame.left, layout.frame.right) for layout in here.values()) and not any(
        _one_above_another(wall) for wall in room.walls
    )
    if plain:
        _same_places(case, framed(case), mirrored, framed(mirrored))


def _trims(layout: WallLayout) -> Counter[tuple[Role, float]]:
    return Counter((m.role, m.y_mm) for m in layout.members if m.role in (Role.HEAD_TRIM, Role.SILL_TRIM) and m.joined_to is None)


def _same_places(case: Case, framing: Framing, mirrored: Case, other: Framing) -> None:
    assert Counter(f.code for f in framing.findings if f.code in OF_PLACES) == Counter(
        f.code for f in other.findings if f.code in OF_PLACES
    )
    for run, twin in _pairs(runs_of(case, framing), runs_of(mirrored, other)):
        length = run.parts[-1].at + run.parts[-1].wall.length_mm
        for role in (Role.END_STUD, Role.JAMB_STUD):
            places = sorted(u.x for u in run.uprights if u.member.role is role)
            mirrored_places = sorted(length - u.x for u in twin.uprights if u.member.role is role)
            assert len(places) == len(mirrored_places)
            assert all(abs(a - b) < NEAR for a, b in zip(places, mirrored_places, strict=True)), role
        for role in (Role.FLOOR_CHANNEL, Role.CEILING_CHANNEL, Role.STOP_END_CHANNEL):
            lengths, twins = ([m.length_mm for _, m in r.of(role)] for r in (run, twin))
            assert abs(sum(lengths) - sum(twins)) <= max(len(lengths), len(twins)), role


def _pairs(runs: list[Run], twins: list[Run]) -> list[tuple[Run, Run]]:
    by_last = {twin.parts[-1].layout.wall: twin for twin in twins}
    count = len(runs[0].case.room.walls) if runs else 0
    return [(run, by_last[count + 1 - run.parts[0].layout.wall]) for run in runs]


def _by_wall(framing: Framing, renumber: dict[int, int]) -> dict[int, str]:
    """Each wall's layout as text, with walls renumbered, so that two framings can be compared to the last digit."""
    found = {}
    for layout in framing.layouts:
        new = renumber[layout.wall]
        text = repr(replace(layout, wall=new, members=tuple(replace(m, wall=new) for m in layout.members),
                            fixings=tuple(replace(f, wall=new) for f in layout.fixings)))  # fmt: skip
        found[new] = _renamed(text, layout.room, renumber)
    return found


def _renamed(text: str, room: int, renumber: dict[int, int]) -> str:
    for old, new in renumber.items():
        text = text.replace(f"{room}/{old}/", f"{room}/#{new}/")
    return text


@given(cases(), st.integers(1, 20))
def test_a_closed_room_may_be_measured_from_any_corner(case: Case, turn: int) -> None:
    room = case.room
    assume(room.closed and not any(f.code is FindingCode.LOOP_NOT_CLOSED for f in framed(case).findings))
    count, turn = len(room.walls), turn % len(room.walls)
    turned = replace(case, rooms=(replace(room, walls=room.walls[turn:] + room.walls[:turn]),))
    unturn = {w: (w - 1 + turn) % count + 1 for w in range(1, count + 1)}
    assert _by_wall(framed(case), {w: w for w in unturn}) == _by_wall(framed(turned), unturn)


@given(cases(), cases())
def test_rooms_do_not_touch_each_other(case: Case, other: Case) -> None:
    """Two rooms in one survey are framed as each would be alone, with the second's ordinals moved on."""
    both = framed(replace(case, rooms=(*case.rooms, *other.rooms)))
    second = framed(replace(case, rooms=other.rooms))
    assert [layout for layout in both.layouts if layout.room == 1] == list(framed(case).layouts)
    moved = [repr(layout).replace("room=1,", "room=2,").replace("'1/", "'2/") for layout in second.layouts]
    assert [repr(layout) for layout in both.layouts if layout.room == 2] == moved


@given(cases(), st.sampled_from((350, -200, 1000)))
def test_the_level_line_may_lie_anywhere(case: Case, lift: int) -> None:
    """Measured from another level line the same studs, channels and trims stand at the same x; rails keep to the level line."""
    lifted = replace(
        case,
        rooms=(
            replace(
                case.room,
                walls=tuple(
                    replace(
                        wall,
                        floor_left_mm=wall.floor_left_mm + lift,
                        floor_right_mm=wall.floor_right_mm + lift,
                        openings=tuple(replace(o, sill_mm=o.sill_mm + lift) for o in wall.openings),
                    )
                    for wall in case.room.walls
                ),
            ),
        ),
    )
    here, there = runs_of(case, framed(case)), runs_of(lifted, framed(lifted))
    for run, twin in zip(here, there, strict=True):
        assert _standing(run, 0) == _standing(twin, lift)


def _standing(run: Run, lift: float) -> Counter[tuple[object, ...]]:
    def near(value: float) -> float:
        """To 0.001, off the halves where many measurements lie and float noise would decide."""
        return round(value + 0.000123, 3)

    uprights = [(u.member.role, near(u.x), near(u.foot - lift), near(u.top - lift)) for u in run.uprights]
    roles = (Role.FLOOR_CHANNEL, Role.CEILING_CHANNEL, Role.HEAD_TRIM, Role.SILL_TRIM)
    return Counter([*uprights, *((m.role, near(p.at + m.x_mm), near(m.y_mm - lift), m.length_mm) for p, m in run.of(*roles))])


@given(cases())
@settings(max_examples=max(1, settings().max_examples // 4))
def test_the_same_room_gives_the_same_frame(case: Case) -> None:
    assert repr(framed(case)) == repr(framed(case))


HASH_FRAMES = """
import hashlib, random
from properties.referees import framed
from rooms.surveys import random_case
print(hashlib.sha256("".join(repr(framed(random_case(random.Random(seed)))) for seed in range(60)).encode()).hexdigest())
"""


def test_the_same_room_gives_the_same_frame_in_every_process() -> None:
    """Whatever order sets of words come in: 60 rooms, two processes with different hash seeds."""
    tests = Path(__file__).parents[1]
    digests = {
        subprocess.run(
            [sys.executable, "-c", HASH_FRAMES],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": f"{tests}{os.pathsep}{tests.parents[1]}"},
            check=True, capture_output=True, text=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(digests) == 1
    assert len(digests.pop()) == len(hashlib.sha256().hexdigest())
