"""Boards, linings and their finish worked by hand, one folder a setting-out rule.

The expected figures come from the rules by hand arithmetic, which stands in each file; none was taken from the engine.
"""

from pathlib import Path

import pytest
from cases_lining.lining_expectations import lining_differences
from cases_lining.lining_reader import STOCK, lining_paths, read_lining_case

from service.engine.boards.board import board
from service.engine.framing.frame import set_out_frame
from service.vocabulary import ROLE_COMPONENTS

PATHS = list(lining_paths())


@pytest.mark.parametrize("path", PATHS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_the_boards_agree_with_the_sum_on_paper(path: Path) -> None:
    case = read_lining_case(path)
    frame = set_out_frame(case.rooms, case.parameters, ROLE_COMPONENTS, STOCK)
    boarding = board(frame.lined, case.parameters, case.board_sheet, case.laminate_sheet, ROLE_COMPONENTS)
    findings = (*frame.framing.findings, *boarding.findings)
    told = [line for expectation in case.expectations for line in lining_differences(expectation, boarding, findings)]
    if told:
        pytest.fail(
            "\n".join([f"{case.name}: {case.why}", *(f"  - {line}" for line in told), "", case.arithmetic]), pytrace=False
        )


def test_every_rule_of_the_boards_has_at_least_two_walls_worked_by_hand() -> None:
    folders = [path.parent.name for path in PATHS]
    rules = ["B1", "B2", "B3", "B4", "B5", "B6", "B7", "F2"]
    assert {rule: folders.count(rule) for rule in rules if folders.count(rule) < 2} == {}
