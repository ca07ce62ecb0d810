"""Examples from the literature. An optimum that a line of arithmetic bounds from below has that line beside it; the others are
published, and proved again by the arc-flow program in tests/quality."""

import pytest

from service.engine.cutting.bars import plan_bars
from service.engine.cutting.problem import Stock
from service.vocabulary import CutStatus

PAPER_MILL = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
HOUSE_CM = {240: 7, 120: 5, 90: 6, 58: 9}

EXAMPLES = [
    # Wikipedia, "Cutting stock problem": 407 160 mm of pieces / 5600 mm = 72.7, so 73 at least.
    pytest.param(PAPER_MILL, [Stock(5600, 1)], 73, id="paper mill of the encyclopaedia"),
    # V. Chvátal, Linear Programming (1983), pages 195 to 198: 453, where the relaxation rounds up to 453 too.
    pytest.param({45: 97, 36: 610, 31: 395, 14: 211}, [Stock(100, 1)], 453, id="Chvátal's rolls"),
    # The example "cut" of the AMPL book.
    pytest.param({20: 48, 45: 35, 50: 24, 55: 10, 75: 8}, [Stock(110, 1)], 47, id="AMPL book"),
    # 2·4 + 3·2 + 4·6 + 5·6 + 6·2 + 7·2 + 8·2 = 110; 110 / 9 = 12.2, so 13 at least.
    pytest.param({2: 4, 3: 2, 4: 6, 5: 6, 6: 2, 7: 2, 8: 2}, [Stock(9, 1)], 13, id="seven small lengths"),
    # The MiniZinc benchmark cutstock.mzn: 7·2 + 5·2 + 3·4 = 36; 36 / 10 = 3.6, so 4 at least.
    pytest.param({7: 2, 5: 2, 3: 4}, [Stock(10, 1)], 4, id="MiniZinc cutstock"),
    # After P. C. Gilmore and R. E. Gomory, "A linear programming approach to the cutting-stock problem" (1961); data from memory.
    pytest.param({2: 20, 3: 10, 4: 20}, [Stock(5, 6), Stock(6, 7), Stock(9, 10)], 170, id="three stock lengths"),
    # fontanf/packingsolver, a test of variable bins: 3·6 + 2·7 + 12 = 44. Two 20s, a 20 and two 10s, or four 10s hold 40 only,
    # and nothing else costs 22 or less; 10 + 20 + 20 costs 5 + 9 + 9.
    pytest.param({6: 3, 7: 2, 12: 1}, [Stock(10, 5), Stock(20, 9)], 23, id="two bin sizes"),
    # 3342 cm of pieces; 3342 / 300 = 11.1, so 12 bars, 3600 cm, at least.
    pytest.param(HOUSE_CM, [Stock(300, 300)], 3600, id="house, one stock length"),
    # Every sum of 240, 300 and 360 is a multiple of 60; the least of those from 3342 on is 3360.
    pytest.param(HOUSE_CM, [Stock(n, n) for n in (240, 300, 360)], 3360, id="house, three stock lengths"),
]


@pytest.mark.parametrize(("pieces", "stock", "optimum"), EXAMPLES)
def test_the_published_optimum_is_found_and_proved(pieces: dict[int, int], stock: list[Stock], optimum: int) -> None:
    plan = plan_bars(pieces, stock)
    assert (plan.used, plan.lower_bound, plan.status) == (optimum, optimum, CutStatus.OPTIMAL)


def test_first_fit_is_beaten_on_the_paper_mill() -> None:
    """First fit decreasing needs 82 rolls there (re-run when the check values were gathered), the optimum is 73."""
    assert plan_bars(PAPER_MILL, [Stock(5600, 1)]).used < 82
