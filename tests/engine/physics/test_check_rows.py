"""The gathered figures are all accounted for, and the tests that are said to use them exist."""

import re
from pathlib import Path

import pytest
from check_rows import ROWS, Row

TESTS = set(
    re.findall(r"^def (test_\w+)", "\n".join(p.read_text("utf-8") for p in Path(__file__).parents[1].rglob("test_*.py")), re.M)
)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.what)
def test_each_gathered_figure_is_used_or_it_is_said_why_not(row: Row) -> None:
    assert bool(row.used_by) != bool(row.not_used)
    assert set(row.used_by) <= TESTS
    assert row.source and row.evidence in {"read", "second", "calculated", "memory"}
