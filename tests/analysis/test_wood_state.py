"""The wood's lag behind the air, against the equation integrated step by step."""

from datetime import date

import numpy as np
import pytest

from dossier.analysis.ranges import Column
from dossier.analysis.wood_state import (
    CONSTANTS_DAYS,
    DEPARTURE,
    HOLD_DAYS,
    USUAL_CONSTANT,
    USUAL_YEAR,
    YEAR_DAYS,
    YEAR_WEIGHTS,
    Curve,
    RoomAir,
    ahead,
    constant_weights,
    fit_curve,
    lagged,
    states,
)

DAY = float(date(2025, 6, 1).toordinal())
NOTHING = np.array([np.nan])


def year(spread: float = 0.0) -> Curve:
    return Curve(9.0, -1.5, -1.0, np.diag([0.0, spread**2, spread**2]), "climate")


def room(curve: Curve, days: Column | None = None, moisture: Column | None = None) -> RoomAir:
    if days is None or moisture is None:
        return RoomAir(curve, np.empty(0, dtype=np.int64), np.empty(0))
    return RoomAir(curve, days.astype(np.int64), moisture)


def integrated(air: Column, constant: float, start: float, step: float) -> float:
    """m' = (air - m) / T by the midpoint rule, the long way round."""
    state = start
    for now, then in zip(air[:-1].tolist(), air[1:].tolist(), strict=True):
        middle = state + step / 2.0 * (now - state) / constant
        state += step * ((now + then) / 2.0 - middle) / constant
    return state


@pytest.mark.parametrize("place", [0, 4, 8])
def test_the_lag_of_a_year_in_closed_form(place: int) -> None:
    constant, step = float(CONSTANTS_DAYS[place]), 0.25
    days = np.arange(DAY - 12.0 * constant - 40.0, DAY + step / 2.0, step)
    turn = 2.0 * np.pi * days / YEAR_DAYS
    air = 9.0 - 1.5 * np.cos(turn) - np.sin(turn)
    got = lagged(year(), np.array([DAY]))[place, USUAL_YEAR, 0]
    assert got == pytest.approx(integrated(air, constant, 9.0, step), abs=1e-3)


def test_slow_wood_swings_less_and_later() -> None:
    days = np.arange(DAY, DAY + 366.0)
    usual = lagged(year(), days)[:, USUAL_YEAR]
    assert (np.diff(np.ptp(usual, axis=-1)) < 0.0).all()
    peaks = (days[usual.argmax(axis=-1)] - days[usual[0].argmax()]) % YEAR_DAYS
    assert (np.diff(peaks) > 0.0).all()


@pytest.mark.parametrize("place", [0, 4, 8])
def test_a_log_drives_the_wood_whatever_the_year_was_thought_to_be(place: int) -> None:
    days = np.arange(DAY - 700.0, DAY)
    moisture = 9.0 + 2.0 * np.sin(days / 9.0)
    constant = float(CONSTANTS_DAYS[place])
    weight = np.exp(-(DAY - days - 0.5) / constant)
    expected = float(weight @ moisture / weight.sum())
    for curve in (year(), Curve(12.0, 0.5, 3.0, np.zeros((3, 3)), "assumed")):
        found = states(room(curve, days, moisture), np.array([DAY]), NOTHING)
        assert found.basis == ("log",)
        assert found.moisture[place, USUAL_YEAR, 0] == pytest.approx(expected, abs=0.02)
        assert found.variance[0] < 1e-6


def test_a_log_of_less_than_half_the_woods_memory_is_not_enough() -> None:
    days = np.arange(DAY - 10.0, DAY)
    found = states(room(year(), days, np.full(10, 14.0)), np.array([DAY]), NOTHING)
    assert found.basis == ("curve",)
    np.testing.assert_array_equal(found.moisture, lagged(year(), np.array([DAY])))


def test_a_reading_draws_the_wood_part_of_the_way() -> None:
    turn = 2.0 * np.pi * DAY / YEAR_DAYS
    air = 9.0 - 1.5 * np.cos(turn) - np.sin(turn)
    found = states(room(year()), np.array([DAY]), np.array([air + 2.0]))
    drawn = (found.moisture - lagged(year(), np.array([DAY])))[:, USUAL_YEAR, 0]
    np.testing.assert_allclose(drawn, 2.0 * HOLD_DAYS / (HOLD_DAYS + CONSTANTS_DAYS), rtol=1e-9)
    assert found.basis == ("reading",)


def test_a_reading_is_surer_than_the_year_alone() -> None:
    read = states(room(year()), np.array([DAY]), np.array([9.0]))
    alone = states(room(year()), np.array([DAY]), NOTHING)
    assert alone.basis == ("curve",)
    assert 0.0 < read.variance[0] < alone.variance[0] < DEPARTURE**2


def test_the_ways_a_year_may_run_have_the_spread_of_its_fit() -> None:
    cosine, sine = year(0.1).years()
    mean = np.array([YEAR_WEIGHTS @ cosine, YEAR_WEIGHTS @ sine])
    np.testing.assert_allclose(mean, [-1.5, -1.0], atol=0.01)
    apart = np.stack([cosine - mean[0], sine - mean[1]])
    np.testing.assert_allclose((apart * YEAR_WEIGHTS) @ apart.T, 0.01 * np.eye(2), atol=5e-4)


def test_a_year_is_not_turned_over_by_its_own_doubt() -> None:
    cosine, sine = year(5.0).years()
    narrowest = np.hypot(cosine, sine).min()
    assert narrowest == pytest.approx(0.15 * np.hypot(1.5, 1.0))


def test_readings_move_a_year_from_what_was_expected_of_it() -> None:
    days = DAY + np.arange(0.0, 700.0, 60.0)
    turn = 2.0 * np.pi * days / YEAR_DAYS
    moisture = 11.0 - 2.0 * np.cos(turn) - 0.5 * np.sin(turn)
    expected, spread = np.array([9.0, -1.5, -1.0]), np.array([2.0, 0.6, 0.4])
    found = fit_curve(expected, spread, days, moisture, "climate")
    assert found.mean == pytest.approx(11.0, abs=0.1)
    assert found.cosine == pytest.approx(-2.0, abs=0.25)
    assert found.readings == 12
    unread = fit_curve(expected, spread, days[:0], moisture[:0], "climate")
    assert (unread.mean, unread.cosine, unread.sine) == pytest.approx((9.0, -1.5, -1.0))
    along = np.array([0.0, *expected[1:]]) / np.hypot(*expected[1:])
    assert along @ unread.covariance @ along == pytest.approx(0.36, rel=1e-6)


@pytest.mark.parametrize("reading", [12.0, np.nan])
def test_the_wood_to_come_begins_where_it_stands(reading: float) -> None:
    here = room(year(0.3))
    now = states(here, np.array([DAY]), np.array([reading]))
    then = ahead(here, DAY, reading, np.array([DAY, DAY + 1.0, DAY + 400.0]))
    np.testing.assert_allclose(then.moisture[..., 0], now.moisture[..., 0], atol=1e-9)
    assert np.abs(then.moisture[..., 1] - then.moisture[..., 0]).max() < 0.4
    usual = lagged(here.curve, np.array([DAY + 400.0]))[..., 0]
    np.testing.assert_allclose(then.moisture[..., 2], usual, atol=0.1)
    assert then.variance[0] == pytest.approx(0.0, abs=1e-12)
    assert (np.diff(then.variance) > 0.0).all()


def test_a_log_that_goes_on_past_the_visit_tells_the_weeks_after_it() -> None:
    days = np.arange(DAY - 300.0, DAY + 40.0)
    here = room(year(), days, np.full(340, 13.0))
    found = ahead(here, DAY, np.nan, np.array([DAY + 30.0, DAY + 60.0, DAY + 400.0]))
    assert found.basis == ("log", "curve", "curve")
    usual = found.moisture[USUAL_CONSTANT, USUAL_YEAR]
    assert usual[0] == pytest.approx(13.0, abs=0.05)
    assert usual[1] < 13.0
    assert usual[2] == pytest.approx(lagged(year(), np.array([DAY + 400.0]))[4, 0, 0], abs=0.01)


def test_the_weights_are_weights() -> None:
    assert constant_weights().sum() == pytest.approx(1.0)
    assert constant_weights().argmax() == USUAL_CONSTANT
    assert YEAR_WEIGHTS.sum() == pytest.approx(1.0)
    np.testing.assert_allclose(np.diff(np.log(CONSTANTS_DAYS)), np.log(2.0) / 2.0)
