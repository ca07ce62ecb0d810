"""How long a takeoff takes, stage by stage, and how that grows with the number of rooms. Measured and printed, hardly asserted.

Run alone, on a quiet machine: `pytest -n 0 -s tests/speed/test_layout_growth.py`. CPU time of this process, medians.
"""

import random
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "engine"))

from rooms.inputs import takeoff_input
from rooms.surveys import Case, random_room

from service.engine.framing.frame import frame_survey
from service.engine.inputs import Opening, Options, Room, TakeoffInput, Wall
from service.engine.parameters import Parameters
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.schedule import schedule
from service.engine.quantities.stock import stock_lengths_mm
from service.engine.results import Framing
from service.vocabulary import OpeningKind, Pool

GOAL_MS = 3.0
"""Layout and quantities of a four-wall room: a goal, printed beside what was measured."""


def _four_walls() -> Room:
    """An invented room of 4.2 by 3.6 m with two windows and a door."""
    window = Opening(kind=OpeningKind.WINDOW, offset_mm=1200, width_mm=1200, sill_mm=900, height_mm=1200, reveal_depth_mm=150)
    door = Opening(kind=OpeningKind.DOOR, offset_mm=600, width_mm=838, sill_mm=0, height_mm=1981)
    openings = ((window,), (), (replace(window, offset_mm=2000),), (door,))
    walls = tuple(
        Wall(length_mm=length, height_left_mm=2700, height_right_mm=2700, openings=inside)
        for length, inside in zip((4200, 3600, 4200, 3600), openings, strict=True)
    )
    return Room(walls=walls, closed=True)


def _cpu_ms(work: Callable[[], object], times: int) -> float:
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append((time.process_time() - start) * 1000)
    return statistics.median(taken)


def _framed(given: TakeoffInput) -> Framing:
    return frame_survey(given.rooms, given.parameters, given.components, stock_lengths_mm(given.items))


def _cut(given: TakeoffInput, framing: Framing) -> object:
    return cut_bars(framing.layouts, given.items, given.options, given.parameters.reusable_offcut_mm)


def test_a_four_wall_room() -> None:
    given = takeoff_input(Case(rooms=(_four_walls(),), parameters=Parameters()))
    framing = _framed(given)
    cut_lists, _ = cut_bars(framing.layouts, given.items, given.options, given.parameters.reusable_offcut_mm)
    layout = _cpu_ms(lambda: _framed(given), 50)
    quantities = _cpu_ms(lambda: schedule(framing.layouts, cut_lists, given.items, given.options), 50)
    cutting = _cpu_ms(lambda: _cut(given, framing), 10)
    members = sum(len(one.members) for one in framing.layouts)
    print(f"\nfour walls, {members} members: layout {layout:.2f} ms, quantities {quantities:.2f} ms,", end=" ")
    print(f"together {layout + quantities:.2f} ms (goal {GOAL_MS:g} ms); cutting {cutting:.1f} ms")
    assert members > 0


def test_growth_from_one_room_to_a_thousand() -> None:
    """Layout, quantities and cutting apart; ten times the rooms should take about ten times the time.

    Rooms thrown at random hardly ever share a length, so bars are cut room by room here; shared bars are another matter.
    """
    rooms = tuple(random_room(random.Random(seed)) for seed in range(1000))
    print("\n rooms  members   layout ms  ratio   quantities ms  ratio   cutting ms  ratio   peak memory of layouts, MB")
    before: tuple[float, ...] | None = None
    for count, times in ((1, 20), (10, 5), (100, 3), (1000, 1)):
        given = takeoff_input(Case(rooms=rooms[:count], parameters=Parameters()))
        given = replace(given, options=Options(pool=Pool.ROOM))
        framing, peak_mb = _traced(given)
        start = time.process_time()
        cut_lists, _ = cut_bars(framing.layouts, given.items, given.options, given.parameters.reusable_offcut_mm)
        cutting = (time.process_time() - start) * 1000
        layout = _cpu_ms(partial(_framed, given), times)
        quantities = _cpu_ms(partial(schedule, framing.layouts, cut_lists, given.items, given.options), times)
        now = (layout, quantities, cutting)
        ratios = ["" if before is None else f"{a / b:.1f}" for a, b in zip(now, before or now, strict=True)]
        members = sum(len(one.members) for one in framing.layouts)
        print(
            f"{count:6d} {members:8d} {layout:11.2f} {ratios[0]:>6} {quantities:15.2f} {ratios[1]:>6}"
            f" {cutting:12.1f} {ratios[2]:>6} {peak_mb:12.1f}"
        )
        before = now
        assert len({one.room for one in framing.layouts}) > 0.8 * count


def _traced(given: TakeoffInput) -> tuple[Framing, float]:
    """The layouts, and the most that Python had allocated while they were made."""
    tracemalloc.start()
    framing = _framed(given)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return framing, peak / 1e6
