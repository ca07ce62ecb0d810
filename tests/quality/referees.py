"""Other methods to compare with, written for these tests: first fit decreasing, and the exact arc-flow program on HiGHS."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise

import highspy
import numpy as np

from service.engine.cutting.problem import Stock


def first_fit_decreasing(pieces: Mapping[int, int], capacity: int) -> int:
    """How many bars of one length the textbook heuristic opens."""
    room: list[int] = []
    for length in sorted(pieces, reverse=True):
        for _ in range(pieces[length]):
            place = next((k for k, left in enumerate(room) if left >= length), None)
            if place is None:
                room.append(capacity - length)
            else:
                room[place] -= length
    return len(room)


def arc_flow_optimum(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int, seconds: float = 60) -> int | None:
    """The least cost, by an integer flow: a bar is a path from 0 to its end, each arc of which is a piece or waste.

    After J. M. Valério de Carvalho, "Exact solution of bin-packing problems using column generation and branch-and-bound" (1999).
    None when HiGHS does not finish within `seconds`.
    """
    lengths = sorted(pieces, reverse=True)
    longest = max(s.length_mm for s in stock) + kerf_mm
    reached: dict[int, set[int]] = {}
    nodes = {0}
    for length in lengths:  # longest first along every path: no plan is lost and there are far fewer arcs
        width, begins = length + kerf_mm, set()
        front = set(nodes)
        for _ in range(pieces[length]):
            begins |= {n for n in front if n + width <= longest}
            front = {n + width for n in front if n + width <= longest} - nodes
            if not front:
                break
            nodes |= front
        reached[length] = begins
    ends = sorted({s.length_mm + kerf_mm for s in stock})
    points = sorted(nodes | set(ends))
    row_of = {point: i for i, point in enumerate(points)}
    demand_row = {length: len(points) + i for i, length in enumerate(lengths)}
    columns: list[tuple[float, float, list[tuple[int, float]]]] = []  # cost, most, entries
    for length in lengths:
        for begin in sorted(reached[length]):
            end = begin + length + kerf_mm
            entries = [(row_of[begin], -1.0), (row_of[end], 1.0), (demand_row[length], 1.0)]
            columns.append((0.0, float(pieces[length]), entries))
    for one, other in pairwise(points):
        columns.append((0.0, highspy.kHighsInf, [(row_of[one], -1.0), (row_of[other], 1.0)]))
    total = float(sum(pieces.values()))
    for s in stock:
        most = total if s.quantity is None else float(s.quantity)
        columns.append((float(s.price), most, [(row_of[s.length_mm + kerf_mm], -1.0), (row_of[0], 1.0)]))
    low = np.array([0.0] * len(points) + [float(pieces[length]) for length in lengths])
    return _least(columns, low, low, seconds)


def _least(
    columns: Sequence[tuple[float, float, list[tuple[int, float]]]], low: np.ndarray, high: np.ndarray, seconds: float
) -> int | None:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns), len(low)
    lp.col_cost_ = np.array([cost for cost, _, _ in columns])
    lp.col_lower_ = np.zeros(len(columns))
    lp.col_upper_ = np.array([most for _, most, _ in columns])
    lp.row_lower_, lp.row_upper_ = low, high
    starts, index, value = [0], [], []
    for _, _, entries in columns:
        merged: dict[int, float] = defaultdict(float)
        for row, coefficient in entries:
            merged[row] += coefficient
        index += list(merged)
        value += list(merged.values())
        starts.append(len(index))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = np.array(starts), np.array(index), np.array(value)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    solver = highspy._Highs()  # type: ignore[attr-defined]  # without the line that the other one prints
    for option, setting in {
        "output_flag": False,
        "threads": 1,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.99,
        "time_limit": seconds,
    }.items():
        solver.setOptionValue(option, setting)
    solver.passModel(lp)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return round(solver.getInfo().objective_function_value)


def first_fit_by_length(pieces: Mapping[int, int], stock: Sequence[Stock], kerf_mm: int) -> int:
    """What first fit decreasing costs with several kinds of bars: limited bars first, longest first, then the best of the others,
    each bar opened shrunk to the cheapest kind that holds what is on it."""
    free = [s for s in stock if s.quantity is None and s.length_mm >= max(pieces)]
    return min(_first_fit_on(pieces, stock, main, kerf_mm) for main in free)


def _first_fit_on(pieces: Mapping[int, int], stock: Sequence[Stock], main: Stock, kerf_mm: int) -> int:
    limited = sorted((s for s in stock if s.quantity), key=lambda s: -s.length_mm)
    bars = [(s.length_mm + kerf_mm, s) for s in limited for _ in range(s.quantity or 0)]
    room = np.full(len(bars) + sum(pieces.values()), main.length_mm + kerf_mm, dtype=np.int64)
    room[: len(bars)] = [length for length, _ in bars]
    whole = room.copy()
    for length in sorted(pieces, reverse=True):
        left, width = pieces[length], length + kerf_mm
        while left:
            k = int(np.argmax(room >= width))
            n = min(left, int(room[k]) // width)
            room[k] -= n * width
            left -= n
    cost = sum(s.price for (_, s), r, w in zip(bars, room, whole, strict=False) if r < w)
    for k in range(len(bars), len(room)):
        used = int(whole[k] - room[k])
        if used:
            cost += min(s.price for s in stock if s.quantity is None and s.length_mm + kerf_mm >= used)
    return cost
