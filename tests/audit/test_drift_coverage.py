"""The long proof of the drift's intervals: 24,000 invented instruments, two minutes.

Only run by `make audit`; a sample of it is in tests/analysis.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.audit.make_coverage import COUNT
from tests.audit.simulated_drift import FAULTS, VISITS, Coverage, Faults, coverage, table

pytestmark = [pytest.mark.audit, pytest.mark.long]

SAVED = Path(__file__).parent / "coverage.md"
MODEL, WORST = FAULTS[0], FAULTS[-1]


@pytest.fixture(scope="module")
def lines() -> list[Coverage]:
    found = [coverage(faults, visits, COUNT) for faults in FAULTS for visits in VISITS]
    print(table(found))
    return found


def of(lines: list[Coverage], faults: Faults) -> list[Coverage]:
    found = [line for line in lines if line.faults == faults]
    assert len(found) == len(VISITS)
    return found


def test_drawn_from_the_model_the_intervals_hold_80_in_100(lines: list[Coverage]) -> None:
    for line in of(lines, MODEL):
        assert abs(line.swing - 0.80) <= 0.03, line
        assert abs(line.forecast - 0.80) <= 0.03, line


def test_with_the_model_wrong_in_four_ways_they_hold_75_in_100(lines: list[Coverage]) -> None:
    worst = of(lines, WORST)
    assert sum(line.swing for line in worst) / len(worst) >= 0.75
    assert sum(line.forecast for line in worst) / len(worst) >= 0.75
    assert all(min(line.swing, line.forecast) >= 0.73 for line in worst), worst


def test_more_visits_make_narrower_intervals(lines: list[Coverage]) -> None:
    for faults in FAULTS:
        widths = [line.swing_width for line in of(lines, faults)]
        assert widths == sorted(widths, reverse=True)


def test_the_saved_table_is_of_this_model(lines: list[Coverage]) -> None:
    """Within what another machine's rounding may do to single instruments."""
    rows = re.findall(
        r"^\| ([^|]+) \| (\d+) \| ([\d.]+) \| ([\d.]+) \|", SAVED.read_text("utf-8"), re.MULTILINE
    )
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        assert (row[0], int(row[1])) == (line.faults.name, line.visits)
        assert float(row[2]) == pytest.approx(line.swing, abs=0.005)
        assert float(row[3]) == pytest.approx(line.forecast, abs=0.005)
