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
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "engine"))

from rooms.inputs import takeoff_input
from rooms.surveys import Case, random_room

from service.engine.framing.frame import frame_survey
from service.engine.inputs import Opening, Options, Room, TakeoffInput, Wall
from service.engine.lining import line_walls
from service.engine.parameters import Parameters
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.flat_cut_lists import cut_flat
from service.engine.quantities.schedule import schedule
from service.engine.quantities.stock import materials, stock_lengths_mm
from service.engine.results import WallLayout
from service.vocabulary import OpeningKind, Pool

STAGES = ("layouts", "bars", "sheets", "quantities")
GOAL_MS = 3.0
"""The frame and the quantities of a four-wall room: a goal, printed beside what was measured."""


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


def _stages(given: TakeoffInput) -> dict[str, Callable[[], Any]]:
    """Each stage of a takeoff by name, on what those before it have made."""
    layouts = _layouts(given)
    keep, p = given.parameters.reusable_offcut_mm, given.parameters
    bars, _ = cut_bars(layouts, given.items, given.options, keep)
    flats, _ = cut_flat(layouts, given.items, given.options, keep)
    return {
        "layouts": lambda: _layouts(given),
        "bars": lambda: cut_bars(layouts, given.items, given.options, keep),
        "sheets": lambda: cut_flat(layouts, given.items, given.options, keep),
        "quantities": lambda: schedule(layouts, bars, flats, given.items, given.options, p),
    }


def _layouts(given: TakeoffInput) -> tuple[WallLayout, ...]:
    return line_walls(given.rooms, given.parameters, given.components, materials(given.items)).layouts


def _cpu_ms(work: Callable[[], object], times: int) -> float:
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append((time.process_time() - start) * 1000)
    return statistics.median(taken)


def test_a_four_wall_room() -> None:
    given = takeoff_input(Case(rooms=(_four_walls(),), parameters=Parameters()))
    frame = _cpu_ms(lambda: frame_survey(given.rooms, given.parameters, given.components, stock_lengths_mm(given.items)), 50)
    spent = {name: _cpu_ms(stage, 20) for name, stage in _stages(given).items()}
    print(f"\nfour walls: {', '.join(f'{name} {ms:.2f} ms' for name, ms in spent.items())};", end=" ")
    print(f"the frame alone {frame:.2f} ms, with the quantities {frame + spent['quantities']:.2f} (goal {GOAL_MS:g} ms)")
    assert spent.keys() == set(STAGES)


def test_growth_from_one_room_to_a_hundred() -> None:
    """Stage by stage; ten times the rooms should take about ten times the time.

    Rooms thrown at random hardly ever share a size, so bars and sheets are cut room by room here; shared ones are another matter.
    """
    rooms = tuple(random_room(random.Random(seed)) for seed in range(100))
    print(f"\n rooms  members {''.join(f'{stage:>13} ms  ratio' for stage in STAGES)}   peak memory of layouts, MB")
    before: list[float] | None = None
    for count, times in ((1, 20), (10, 3), (100, 1)):
        given = takeoff_input(Case(rooms=rooms[:count], parameters=Parameters()))
        given = replace(given, options=Options(pool=Pool.ROOM))
        layouts, peak_mb = _traced(given)
        now = [_cpu_ms(stage, times) for stage in _stages(given).values()]
        ratios = [f"{a / b:.1f}" for a, b in zip(now, before, strict=True)] if before else [""] * len(now)
        columns = "".join(f"{ms:16.1f} {ratio:>6}" for ms, ratio in zip(now, ratios, strict=True))
        print(f"{count:6d} {sum(len(one.members) for one in layouts):8d} {columns} {peak_mb:10.1f}")
        before = now
        assert len({one.room for one in layouts}) > 0.8 * count


def _traced(given: TakeoffInput) -> tuple[tuple[WallLayout, ...], float]:
    """The layouts, and the most that Python had allocated while they were made."""
    tracemalloc.start()
    layouts = _layouts(given)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return layouts, peak / 1e6
