"""Drops cover the frame line with at least the lap, strips and seals follow a second reading of M2 to M4, in random rooms."""

import math
import re
from itertools import pairwise

import pytest
from hypothesis import given
from insulation.walls_by_hand import STOCK
from properties.reading import Hole, Run, runs_of
from rooms.surveys import Case, cases

from service.engine.framing.frame import Frame, set_out_frame
from service.engine.membrane.drape import drape
from service.engine.results import FlatPiece, Usage
from service.vocabulary import ROLE_COMPONENTS, Component, EndKind, OpeningKind, PieceRole, Role, UnitCode

ROLLS = ((1500, 50_000), (1000, 20_000), (300, 20_000))
CORNERS = (EndKind.INTERNAL_CORNER, EndKind.EXTERNAL_CORNER)
BEAD_ENDS = (*CORNERS, EndKind.UNLINED_WALL, EndKind.STOP_END)


def _draped(case: Case, roll: tuple[int, int]) -> tuple[Frame, list[FlatPiece], list[Usage]]:
    frame = set_out_frame(case.rooms, case.parameters, ROLE_COMPONENTS, STOCK)
    answers = [drape(lined, case.parameters, *roll) for lined in frame.lined]
    assert all(found == [] for _, _, found in answers)
    return frame, [one for pieces, _, _ in answers for one in pieces], [one for _, usages, _ in answers for one in usages]


def _meet(run: Run, frame: Frame, *, right: bool) -> bool:
    """Whether two linings meet at this side: the frame says where it ends, and the wall beyond carries one too."""
    walls = {part.layout.wall for part in run.parts}
    return any(
        (lined.meets_right if right else lined.meets_left)
        for lined in frame.lined
        if any(span.ordinal in walls for span in lined.stretch.run.spans)
        and abs((lined.stretch.x1_mm - lined.stretch.x0_mm) - (run.board_ends[1] - run.board_ends[0])) < 0.01
    )


def _of(run: Run, pieces: list[FlatPiece], role: PieceRole) -> list[tuple[float, FlatPiece]]:
    at = {part.layout.wall: part.at for part in run.parts}
    return [(at[one.wall] + one.x_mm, one) for one in pieces if one.wall in at and one.role is role]


@given(cases())
def test_drops_cover_the_frame_line_with_the_lap(case: Case) -> None:
    p = case.parameters
    for width, length in ROLLS:
        frame, pieces, _ = _draped(case, (width, length))
        for run in runs_of(case, frame.framing):
            drops = _of(run, pieces, PieceRole.MEMBRANE_DROP)
            back = run.parts[0].layout.frame.offset_mm + p.membrane_lap_mm
            begin = run.board_ends[0] - (back if run.parts[0].layout.frame.left is EndKind.STOP_END else 0)
            last = run.parts[-1].layout.frame.right
            past = back if last is EndKind.STOP_END else (p.membrane_lap_mm if _meet(run, frame, right=True) else 0)
            finish = run.board_ends[1] + past
            assert drops[0][0] == pytest.approx(begin, abs=0.05), run.name
            assert drops[-1][0] + drops[-1][1].width_mm == pytest.approx(finish, abs=0.1), run.name
            for (x, one), (after, _) in pairwise(drops):
                assert x + one.width_mm - after >= p.membrane_lap_mm - 0.1
            assert all(one.width_mm <= width for _, one in drops)
            without_one = (len(drops) - 1) * width - max(0, len(drops) - 2) * p.membrane_lap_mm
            assert len(drops) == 1 or without_one < finish - begin + 0.01, "one drop fewer would have covered it"
            for x, one in drops:
                _reaches(run, x, one, p.membrane_oversize_mm)


def _reaches(run: Run, x: float, drop: FlatPiece, oversize: float) -> None:
    """From below the floor's lowest point to the oversize above the ceiling's highest, over the part on the frame."""
    a, b = (min(max(at, run.board_ends[0]), run.board_ends[1]) for at in (x, x + drop.width_mm))
    low, _, _, high = run.over(a, b)
    assert drop.y_mm == pytest.approx(low, abs=0.2)
    assert drop.length_mm == pytest.approx(high - low + oversize, abs=0.3)


@given(cases())
def test_strips_take_the_membrane_into_every_reveal_that_is_open(case: Case) -> None:
    p = case.parameters
    frame, pieces, _ = _draped(case, ROLLS[0])
    for run in runs_of(case, frame.framing):
        strips = sorted((x, one.y_mm, one.width_mm, one.length_mm) for x, one in _of(run, pieces, PieceRole.MEMBRANE_STRIP))
        wanted = sorted(strip for hole in run.holes for strip in _strips(run, hole, p.membrane_lap_mm))
        assert len(strips) == len(wanted), run.name
        for got, asked in zip(strips, wanted, strict=True):
            assert got == pytest.approx(asked, abs=0.06), run.name


def _strips(run: Run, o: Hole, lap: float) -> list[tuple[float, float, float, float]]:
    """M2 of one opening: x, y, width, length."""
    part = next(part for part in run.parts if part.layout.wall == o.wall)
    reveal = 0 if o.opening.kind is OpeningKind.HEARTH else o.opening.reveal_depth_mm
    over = reveal + part.layout.frame.offset_mm
    a, b = max(o.left, run.board_ends[0]), min(o.right, run.board_ends[1])
    if b - a < 0.001:
        return []
    below = o.sill - min(part.wall.floor_at(x - part.at) for x in (o.left, o.right))
    above = max(part.wall.ceiling_at(x - part.at) for x in (o.left, o.right)) - o.head
    found = [(a, o.sill, over + lap, b - a)] if below > 50 else []
    found += [(a, o.head, over + lap, b - a)] if above > 50 else []
    if (o.right - o.left) / 2 < over + 50:
        found += [(x, o.sill, over + lap, o.head - o.sill) for x in (o.left, o.right) if a <= x <= b]
    return found


@given(cases())
def test_channels_are_taped_and_sealed_over_their_whole_length(case: Case) -> None:
    """Against the members of the frame: their lengths are whole mm, rounded down, so each may be under by 1 mm."""
    frame, _, usages = _draped(case, ROLLS[0])
    for layout in frame.framing.layouts:
        for role, where, components in (
            (Role.CEILING_CHANNEL, "ceiling channel", (Component.DOUBLE_SIDED_TAPE, Component.SEALANT)),
            (Role.FLOOR_CHANNEL, "floor channel", (Component.SEALANT,)),
        ):
            if EndKind.JOINED in (layout.frame.left, layout.frame.right):
                continue  # a channel that passes a joint is one member of the wall where it begins
            cut = [m.length_mm for m in layout.members if m.role is role]
            for component in components:
                mm = 1000 * _metres(usages, layout.wall, component, where)
                assert -0.1 <= mm - sum(cut) <= len(cut) + 0.1, (layout.wall, where)


@given(cases())
def test_openings_and_ends_are_sealed_all_round(case: Case) -> None:
    frame, _, usages = _draped(case, ROLLS[0])
    for run in runs_of(case, frame.framing):
        walls = {part.layout.wall for part in run.parts}
        ends = 0.0
        for right, x in enumerate(run.board_ends):
            kind = run.parts[-right].layout.frame.right if right else run.parts[0].layout.frame.left
            if kind in BEAD_ENDS and not _meet(run, frame, right=bool(right)):
                ends += run.ceiling(x) - run.floor(x)
        assert sum(1000 * _metres(usages, n, Component.SEALANT, "ends") for n in walls) == pytest.approx(ends, abs=0.3), run.name
        perimeter = 0.0
        for o in run.holes:
            a, b = max(o.left, run.board_ends[0]), min(o.right, run.board_ends[1])
            if b - a < 0.001:
                continue
            part = next(part for part in run.parts if part.layout.wall == o.wall)
            jambs = sum(a <= x <= b for x in (o.left, o.right)) * (o.head - o.sill)
            stands = o.sill - min(part.wall.floor_at(x - part.at) for x in (o.left, o.right)) <= 50
            perimeter += jambs + (b - a) * (1 if stands else 2)
        taped = sum(1000 * _metres(usages, n, Component.LAP_TAPE, "round openings") for n in walls)
        assert taped == pytest.approx(perimeter, abs=0.5), run.name


@given(cases())
def test_quantities_are_what_their_terms_come_to(case: Case) -> None:
    _, pieces, usages = _draped(case, ROLLS[0])
    ids = {one.id for one in pieces}
    assert len(ids) == len(pieces)
    for usage in usages:
        assert usage.unit is UnitCode.METRE
        assert re.fullmatch(r"[0-9. ×+]+ mm", usage.terms), usage.terms
        products = [[float(factor) for factor in term.split("×")] for term in usage.terms.removesuffix(" mm").split("+")]
        assert usage.quantity == pytest.approx(sum(math.prod(product) for product in products) / 1000, abs=1e-9)
        assert usage.members
        assert ids.issuperset(usage.members)


def _metres(usages: list[Usage], wall: int, component: Component, where: str) -> float:
    return sum(one.quantity for one in usages if (one.wall, one.component, one.where) == (wall, component, where))
