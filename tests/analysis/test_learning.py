"""A shop's own starting values: that they help, and that few instruments never overrule."""

from dataclasses import replace

import numpy as np
import pytest

from dossier.analysis.drift import drift, shown
from dossier.analysis.learning import WORTH, Evidence, evidence, learned
from dossier.analysis.mixture import fit
from dossier.analysis.priors import STARTING, CoefficientPrior, Priors
from dossier.analysis.rows import as_rows
from dossier.analysis.wood_state import Curve, RoomAir, states
from tests.analysis.one_piano import history
from tests.audit.simulated_drift import FAULTS, simulated
from tests.bench_analysis import CLIMATE, piano

SHOP = Priors(
    humidity=CoefficientPrior(7.0, 0.8, 0.5, "invented: a shop by the sea"),
    fall=CoefficientPrior(-4.0, 0.6, 0.4, "invented"),
    settling=CoefficientPrior(0.28, 0.05, 0.04, "invented"),
    error=2.0,
    error_shape=8.0,
)


@pytest.fixture(scope="module")
def seen() -> list[Evidence]:
    """Sixty pianos of that shop, eight visits each."""
    dice = np.random.default_rng(5)
    return [evidence(simulated(dice, 8, FAULTS[0], SHOP)[1]) for _ in range(60)]


def test_it_comes_near_the_shops_own_values(seen: list[Evidence]) -> None:
    found = learned(seen)
    for got, start, truth in zip(found.rows, STARTING.rows, SHOP.rows, strict=True):
        assert abs(got.mean - truth.mean) < 0.5 * abs(start.mean - truth.mean), truth
        assert got.shared < start.shared
    assert abs(found.error - SHOP.error) < abs(STARTING.error - SHOP.error)
    assert found.instruments == 60


def test_it_helps_the_shops_next_pianos(seen: list[Evidence]) -> None:
    own = learned(seen)
    off: dict[str, list[float]] = {"own": [], "starting": []}
    held = []
    for number in range(150):
        for name, priors in (("own", own), ("starting", STARTING)):
            outcome, _ = simulated(np.random.default_rng(number), 2, FAULTS[0], SHOP, priors)
            off[name].append(outcome.forecast.value - outcome.true_pitch)
            if name == "own":
                held.append(outcome.forecast_held)
    own_error, starting_error = (np.sqrt(np.mean(np.square(off[name]))) for name in off)
    assert own_error < 0.93 * starting_error
    assert 0.72 < np.mean(held) < 0.92


def test_few_instruments_move_the_starting_values_little(seen: list[Evidence]) -> None:
    found = learned(seen[:2])
    for got, start in zip(found.rows, STARTING.rows, strict=True):
        assert abs(got.mean - start.mean) < 0.5 * start.shared
        assert 0.7 * start.shared < got.shared < 1.3 * start.shared


def test_one_wild_instrument_overrules_nothing() -> None:
    wild = Evidence(
        precision=np.eye(9) * 100.0, pull=np.full(9, 100.0) * 40.0, variance=400.0, rows=300.0
    )
    found = learned([wild])
    assert found.humidity.mean == pytest.approx(STARTING.humidity.mean, abs=36.0 / WORTH)
    assert found.humidity.shared > STARTING.humidity.shared
    assert found.error < 3.0 * STARTING.error


def test_instruments_without_a_comparison_teach_nothing() -> None:
    note = "air: 20 °C, 45 %\nfound: A4 -6\nleft: on pitch\nwork: tuning"
    once = shown(history({"2024-03-01": note}, shop=CLIMATE))
    assert once.rows == 0.0
    assert np.abs(once.precision).max() < 1e-6
    assert learned([once, once]) is STARTING
    assert learned([]) is STARTING


def test_the_evidence_is_what_the_readings_added() -> None:
    whole = shown(piano(3))
    before = np.linalg.inv(np.linalg.inv(_spread()) + whole.precision)
    # With the prior put back, the instrument's own answer returns.
    mean = before @ (np.linalg.inv(_spread()) @ _means() + whole.pull)
    told = {one.name: one.estimate.value for one in drift(piano(3)).coefficients[-1:]}
    assert mean[8] == pytest.approx(told["settling share"], rel=1e-6)


def _spread() -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    from dossier.analysis.priors import covariance

    return covariance(STARTING)


def _means() -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.repeat([row.mean for row in STARTING.rows], 3)


def test_spreads_are_never_learned_away(seen: list[Evidence]) -> None:
    alike = [replace(seen[0], rows=21.0) for _ in range(500)]
    found = learned(alike)
    for got, start in zip(found.rows, STARTING.rows, strict=True):
        assert got.shared >= 0.5 * start.shared
        assert got.own >= 0.5 * start.own


def test_a_fit_with_the_shops_values_says_so() -> None:
    own = learned([shown(piano(number)) for number in range(4)])
    assert drift(piano(9), own).basis.instruments == 4
    assert drift(piano(9)).basis.instruments == 0


def test_without_rows_a_fit_is_what_was_assumed() -> None:
    curve = Curve(9.0, -1.5, -1.0, np.zeros((3, 3)), "climate")
    air = RoomAir(curve, np.empty(0, dtype=np.int64), np.empty(0))
    wood = states(air, np.array([700000.0]), np.array([np.nan]))
    found = fit(as_rows(()), wood, SHOP)
    np.testing.assert_allclose(found.weight @ found.mean, np.repeat([7.0, -4.0, 0.28], 3))
    assert found.variance == pytest.approx(4.0)
