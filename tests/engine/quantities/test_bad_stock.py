"""Stock and pieces that make no sense, or far too many of them: a finding or a refusal, in little time, and never a hang."""

from dataclasses import replace

import pytest
from hand_made import bar, layout, members
from test_offcuts import board, sheet

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import CutProblemInvalid, Stock
from service.engine.inputs import Options
from service.engine.quantities.cut_lists import cut_bars
from service.engine.quantities.flat_cut_lists import cut_flat
from service.finding_codes import FindingCode
from service.vocabulary import CutStatus

STUDS = layout(1, 1, members(1, 1, 2390, 2390))


@pytest.mark.parametrize("length_mm", [0, -3000, None])
def test_a_bar_without_length_is_no_stock(length_mm: int | None) -> None:
    for items, offcuts in (([bar(length_mm)], []), ([], [(1, bar(length_mm))])):  # type: ignore[arg-type]
        ((cut_list,), (finding,)) = cut_bars([STUDS], items, Options(), 600, offcuts)
        assert (cut_list.bars, len(cut_list.unplaced)) == ((), 2)
        assert finding.code is FindingCode.NO_STOCK_LONG_ENOUGH
        assert "the range holds none at all" in finding.message


def test_a_bar_without_length_does_not_keep_prices_from_counting() -> None:
    ((cut_list,), _) = cut_bars([STUDS], [bar(0), bar(2400, 500)], Options(), 600)
    assert cut_list.used == 1000


@pytest.mark.parametrize("size", [(0, 2400), (1200, 0), (1200, None), (-1200, 2400)])
def test_a_sheet_without_size_is_no_stock(size: tuple[int, int]) -> None:
    wall = replace(layout(1, 1), boards=(board(1, 600, 2390),))
    ((cut_list,), (finding,)) = cut_flat([wall], [sheet(*size)], Options(), 600, [(1, sheet(*size))])
    assert (cut_list.sheets, len(cut_list.unplaced)) == ((), 1)
    assert finding.code is FindingCode.NO_STOCK_LONG_ENOUGH


def test_a_piece_longer_than_any_stock_is_said_though_offcuts_and_stock_on_hand_are_many() -> None:
    found = layout(1, 1, members(1, 1, 9000, 2390))
    offcuts = [(n, bar(2400)) for n in range(1, 4)]
    ((cut_list,), (finding,)) = cut_bars([found], [bar(3000, on_hand=0)], Options(), 600, offcuts)
    assert [b.offcut for b in cut_list.bars] == [1]
    assert [m.length_mm for m in cut_list.unplaced] == [9000]
    assert "1/1/stud-01 (9000 mm); the longest is 3000 mm" in finding.message


def test_a_negative_price_is_refused() -> None:
    with pytest.raises(CutProblemInvalid, match="price must be"):
        cut_bars([STUDS], [bar(3000, -5)], Options(), 600)


def test_a_million_pieces_are_planned_by_their_lengths_and_not_one_by_one() -> None:
    # 20 lengths from 2257 to 2390: no bar of 2400 or 3000 holds two, so one bar of 2400 each is the optimum.
    plan = plan_bars({2390 - 7 * k: 50_000 for k in range(20)}, [Stock(2400, 2400), Stock(3000, 3000)], 3, 600)
    assert (plan.status, plan.used) == (CutStatus.OPTIMAL, 1_000_000 * 2400)


def test_many_thousand_members_are_shared_out_one_to_a_cut() -> None:
    layouts = [layout(room, 1, members(room, 1, *[2390 - 7 * (k % 20) for k in range(500)])) for room in range(1, 21)]
    ((cut_list,), findings) = cut_bars(layouts, [bar(2400), bar(3000)], Options(), 600, [(1, bar(2400))])
    assert (len(cut_list.bars), findings) == (10_000, ())
    assert len({c.member.id for b in cut_list.bars for c in b.cuts}) == 10_000
    assert sum(b.offcut is not None for b in cut_list.bars) == 1
