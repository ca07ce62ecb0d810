"""Other ways to plan sheets, to stand beside ours: shelves of the textbook, and the linear program over two-stage patterns."""

from collections.abc import Mapping, Sequence

import highspy
import numpy as np
from numpy.typing import NDArray

from service.engine.cutting.sheet_problem import Rectangle, SheetStock

MM = 10
Floats = NDArray[np.float64]


def first_fit_shelves(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock]) -> int:
    """First fit by decreasing height (Coffman, Garey, Johnson and Tarjan, 1980) on one size of sheet; the best of all sizes."""
    return min(_shelves(pieces, sheet) for sheet in stock if all(w <= sheet.width and h <= sheet.length for w, h in pieces))


def _shelves(pieces: Mapping[Rectangle, int], sheet: SheetStock) -> int:
    shelves: list[list[int]] = []  # what is left of a shelf's run, its height
    for width, length in sorted((size for size, n in pieces.items() for _ in range(n)), key=lambda s: (-s[1], -s[0])):
        shelf = next((s for s in shelves if s[0] >= width), None)
        if shelf is None:
            shelf = [sheet.width, length]
            shelves.append(shelf)
        shelf[0] -= width
    sheets: list[int] = []  # what is left of a sheet's length
    for _, height in shelves:
        place = next((k for k, room in enumerate(sheets) if room >= height), None)
        if place is None:
            sheets.append(sheet.length)
            place = len(sheets) - 1
        sheets[place] -= height
    return len(sheets) * sheet.price


def two_stage_bound(pieces: Mapping[Rectangle, int], stock: Sequence[SheetStock], most_rounds: int = 400) -> float:
    """The linear program over two-stage patterns, trimming allowed, shelves across or along; a size may be cut any number of
    times from a sheet. It bounds two-stage plans only. Farley's bound at every round; sizes in whole mm."""
    sizes = sorted(pieces)
    demand = np.array([pieces[size] for size in sizes], dtype=np.float64)
    highs = highspy._Highs()
    highs.setOptionValue("output_flag", False)
    lower, nothing = demand, np.array([], dtype=np.int32)
    highs.addRows(
        len(sizes), lower, np.full(len(sizes), highspy.kHighsInf), 0, np.zeros(len(sizes), dtype=np.int32), nothing, nothing + 0.0
    )
    for i, size in enumerate(sizes):
        price = min(s.price for s in stock if size[0] <= s.width and size[1] <= s.length)
        highs.addCol(float(price), 0.0, highspy.kHighsInf, 1, np.array([i], dtype=np.int32), np.array([1.0]))
    best = 0.0
    for _ in range(most_rounds):
        highs.run()
        value = highs.getInfo().objective_function_value
        prices = np.maximum(np.array(highs.getSolution().row_dual), 0)
        held = 1.0
        for sheet in stock:
            for across in (True, False):
                worth, counts = _two_stage_pattern(sizes, prices, sheet, across)
                held = max(held, worth / sheet.price)
                rows = np.flatnonzero(counts).astype(np.int32)
                highs.addCol(float(sheet.price), 0.0, highspy.kHighsInf, len(rows), rows, counts[rows])
        best = max(best, value / held)
        if best >= value * (1 - 1e-5):
            break
    return best


def _two_stage_pattern(sizes: list[Rectangle], prices: Floats, sheet: SheetStock, across: bool) -> tuple[float, Floats]:
    run, room = (sheet.width // MM, sheet.length // MM) if across else (sheet.length // MM, sheet.width // MM)
    ways = [(length // MM, width // MM) if across else (width // MM, length // MM) for width, length in sizes]
    order = sorted((i for i, way in enumerate(ways) if way[1] <= run and way[0] <= room), key=lambda i: ways[i])
    # best[c]: the most that c mm of run hold of the pieces so far, none deeper than the last
    rows, shelves = [np.zeros(run + 1)], []
    for i in order:
        rows.append(_with_any_number(rows[-1], ways[i][1], prices[i]))
        shelves.append((ways[i][0], float(rows[-1][run])))
    outer = [np.zeros(room + 1)]
    for depth, worth in shelves:
        outer.append(_with_any_number(outer[-1], depth, worth))
    counts = np.zeros(len(sizes))
    left = room
    for k in range(len(shelves), 0, -1):
        while outer[k][left] > outer[k - 1][left] + 1e-12:
            left -= shelves[k - 1][0]
            run_left = run
            for m in range(k, 0, -1):
                while rows[m][run_left] > rows[m - 1][run_left] + 1e-12:
                    counts[order[m - 1]] += 1
                    run_left -= ways[order[m - 1]][1]
    return float(outer[-1][room]), counts


def _with_any_number(row: Floats, width: int, worth: float) -> Floats:
    best = row.copy()
    for start in range(width, len(best), width):
        stop = min(start + width, len(best))
        np.maximum(best[start:stop], best[start - width : stop - width] + worth, out=best[start:stop])
    return best
