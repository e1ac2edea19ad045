"""A sample of the long proof in tests/audit: that the 80 % intervals hold the truth as often."""

import pytest

from tests.audit.simulated_drift import FAULTS, Faults, coverage

MODEL, WORST = FAULTS[0], FAULTS[-1]


@pytest.mark.parametrize(
    ("faults", "visits", "usual"), [(MODEL, 4, 0.80), (MODEL, 8, 0.80), (WORST, 8, 0.75)]
)
def test_intervals_hold_the_truth_about_as_often_as_they_say(
    faults: Faults, visits: int, usual: float
) -> None:
    found = coverage(faults, visits, 200)
    # Three standard errors of such a share in 200.
    assert found.swing == pytest.approx(usual, abs=0.09)
    assert found.forecast == pytest.approx(usual, abs=0.09)
    # And not by being wide: what was assumed alone swings by more.
    assert found.swing_width < 17.0
    assert found.forecast_width < 13.0
