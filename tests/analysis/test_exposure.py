"""A room's log in figures: time-weighted, gaps stated, nothing said that it does not cover."""

import re
import time
from dataclasses import fields
from datetime import date, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from dossier.analysis.airlog import Gap, Times
from dossier.analysis.exposure import (
    Band,
    DrySpell,
    Exposure,
    MonthMean,
    Stretch,
    exposure,
    running_mean,
)

Column = NDArray[np.float64]


def whole(message: str) -> str:
    """A pattern that matches this message and no longer one."""
    return f"^{re.escape(message)}$"


def hourly(days: float, start: str = "2024-03-01", minutes: int = 60) -> Times:
    steps = np.arange(round(days * 24 * 60 / minutes)) * np.timedelta64(minutes, "m")
    return (np.datetime64(start) + steps).astype("datetime64[s]")


def account(times: Times, humidity: Column, band: Band | None = None) -> Exposure:
    """The exposure at a steady 20 °C."""
    told = exposure(times, np.full(times.shape, 20.0), humidity, band or Band())
    assert told is not None
    return told


def test_a_steady_fortnight() -> None:
    told = account(hourly(14), np.full(14 * 24, 40.0))
    assert (told.first, told.last) == (datetime(2024, 3, 1), datetime(2024, 3, 14, 23))
    assert (told.readings_count, told.interval_hours, told.gaps) == (336, 1.0, ())
    assert (told.covered_hours, told.coverage) == (336.0, 1.0)
    assert (told.mean, told.lowest, told.highest) == pytest.approx((40.0, 40.0, 40.0))
    assert (told.below_share, told.inside_share, told.above_share) == (0.0, 1.0, 0.0)
    assert (told.daily_swing, told.swing_days) == (0.0, 14)
    assert told.driest_week == Stretch(date(2024, 3, 1), date(2024, 3, 7), 40.0)
    assert told.longest_dry_spell is None
    # Half a month has no 30 days, and no seasons
    assert (told.driest_30_days, told.seasonal_range, told.departures) == (None, None, None)


def test_a_gap_is_listed_and_belongs_to_no_band() -> None:
    times, humidity = hourly(4), np.full(96, 30.0)
    humidity[48:] = 60.0
    kept = np.r_[0:24, 48:96]
    told = account(times[kept], humidity[kept])
    assert told.gaps == (Gap(datetime(2024, 3, 1, 23), datetime(2024, 3, 3), 25.0),)
    assert (told.below_hours, told.inside_hours, told.above_hours) == (24.0, 0.0, 48.0)
    assert told.coverage == pytest.approx(72.0 / 96.0)
    assert told.mean == pytest.approx(50.0)


def test_missing_readings_are_as_missing_rows() -> None:
    times = hourly(60, minutes=30)
    humidity = 45.0 + 12.0 * np.sin(np.arange(times.size) / 37.0)
    missing = np.zeros(times.size, dtype=bool)
    missing[100:180] = missing[900] = True
    with_holes = np.where(missing, np.nan, humidity)
    told = account(times, with_holes)
    assert told == account(times[~missing], humidity[~missing])
    assert [gap.hours for gap in told.gaps] == [40.5]


def test_one_missed_hour_is_no_gap() -> None:
    times, humidity = np.delete(hourly(3), 30), np.full(71, 45.0)
    told = account(times, humidity)
    assert told.gaps == ()
    assert told.covered_hours == 72.0


def test_the_edges_of_the_band_are_comfortable() -> None:
    humidity = np.tile([34.9, 35.0, 55.0, 55.1], 36)
    told = account(hourly(1, minutes=10), humidity)
    assert told.interval_hours == pytest.approx(1.0 / 6.0)
    shares = (told.below_share, told.inside_share, told.above_share)
    assert shares == pytest.approx((0.25, 0.5, 0.25))
    narrow = account(hourly(1, minutes=10), humidity, Band(40.0, 50.0))
    assert (narrow.below_share, narrow.above_share) == pytest.approx((0.5, 0.5))


def test_a_busy_day_does_not_outweigh_a_quiet_one() -> None:
    # A day at each minute at 30 %, then a day at each hour at 60 %
    times = np.concatenate([hourly(1, minutes=1), hourly(1, "2024-03-02")])
    told = account(times, np.repeat([30.0, 60.0], [1440, 24]))
    assert told.gaps == ()
    assert told.mean == pytest.approx(45.0, abs=0.4)


def test_daily_swing_is_that_of_days_well_covered() -> None:
    times, hour = hourly(5), np.arange(120)
    humidity = np.where(hour % 24 < 12, 40.0, 46.0)
    humidity[24] = 30.0  # one wild day does not move the median
    humidity[50:66] = np.nan  # and one with 8 hours shows no swing
    told = account(times, humidity)
    assert (told.daily_swing, told.swing_days) == (6.0, 4)
    twice_a_day = account(times[::12], humidity[::12])
    assert (twice_a_day.daily_swing, twice_a_day.swing_days) == (None, 0)


def test_months_say_how_much_of_them_was_seen() -> None:
    times = hourly(31, "2024-01-22")
    humidity = np.where(times < np.datetime64("2024-02-01"), 30.0, 36.0)
    warmth = np.full(times.shape, 19.0)
    warmth[times < np.datetime64("2024-02-01")] = np.nan
    told = exposure(times, warmth, humidity)
    assert told is not None
    assert told.months == (
        MonthMean(date(2024, 1, 1), 30.0, None, 240 / 744),
        MonthMean(date(2024, 2, 1), 36.0, 19.0, 504 / 696),
    )


def a_year(days: int = 366) -> tuple[Times, Column]:
    """A year from 1 January: driest on 20 January, dampest on 20 July, 6 points of swing a day."""
    times = hourly(days, "2024-01-01")
    hour = np.arange(times.size)
    season = -15.0 * np.cos(2.0 * np.pi * (hour / 24.0 - 19.5) / 366.0)
    return times, 45.0 + season + 3.0 * np.sin(2.0 * np.pi * hour / 24.0)


def test_the_seasons_of_a_year() -> None:
    told = account(*a_year())
    assert told.driest_week is not None
    assert told.driest_week.first_day == date(2024, 1, 17)
    assert told.driest_week.last_day == date(2024, 1, 23)
    assert told.driest_week.humidity == pytest.approx(30.0, abs=0.02)
    assert told.dampest_week is not None
    assert told.dampest_week.first_day == date(2024, 7, 18)
    # A 30-day mean of a yearly sine is lower by sin(x)/x, x = pi 30/366
    x = np.pi * 30.0 / 366.0
    assert told.seasonal_range == pytest.approx(30.0 * np.sin(x) / x, abs=0.01)
    assert told.daily_swing == pytest.approx(6.0, abs=0.1)


def test_departures_are_from_the_season_and_not_from_the_year() -> None:
    # The 93rd percentile of a sine of 3 points is 3 sin(0.43 pi): the season's 15 do not show
    told = account(*a_year())
    assert told.departures is not None
    assert told.departures.high == pytest.approx(3.0 * np.sin(0.43 * np.pi), abs=0.1)
    assert told.departures.low == pytest.approx(-3.0 * np.sin(0.43 * np.pi), abs=0.1)
    assert told.departures.hours == pytest.approx((366 - 30) * 24, abs=1)


def test_half_a_year_has_no_seasonal_range() -> None:
    times, humidity = a_year()
    told = account(times[: 183 * 24], humidity[: 183 * 24])
    assert told.driest_30_days is not None
    assert told.dampest_30_days is not None
    assert told.seasonal_range is None


def test_the_longest_dry_spell() -> None:
    humidity = np.full(30 * 24, 50.0)
    humidity[5 * 24 : 7 * 24] = 20.0
    humidity[12 * 24 : 17 * 24] = 20.0
    humidity[14 * 24] = 60.0  # an hour's airing does not end it: the day's mean counts
    told = account(hourly(30), humidity)
    assert told.longest_dry_spell == DrySpell(
        start=datetime(2024, 3, 13),
        end=datetime(2024, 3, 17, 23),
        hours=120.0,
        driest=pytest.approx(20.0),  # type: ignore[arg-type]
    )


def test_a_dry_spell_is_not_carried_over_a_gap() -> None:
    humidity = np.full(20 * 24, 20.0)
    humidity[8 * 24 : 8 * 24 + 4] = np.nan
    short = account(hourly(20), humidity).longest_dry_spell
    humidity[8 * 24 : 9 * 24] = np.nan
    long = account(hourly(20), humidity).longest_dry_spell
    assert short is not None
    assert long is not None
    # The first and last 12 hours have no day around them
    assert short.hours == pytest.approx(19 * 24, abs=1)
    assert long.hours < 11 * 24


@st.composite
def logs(draw: st.DrawFn) -> tuple[Times, Column]:
    """A log of uneven intervals, with gaps and missing readings."""
    size = draw(st.integers(3, 60))
    minutes = draw(
        st.lists(st.sampled_from([20, 30, 60, 60, 60, 180, 2000]), min_size=size, max_size=size)
    )
    times = np.datetime64("2024-01-31T20:00:00") + np.cumsum(minutes) * np.timedelta64(60, "s")
    readings = st.one_of(st.floats(0.0, 100.0), st.just(np.nan))
    humidity = np.array(draw(st.lists(readings, min_size=size, max_size=size)))
    return times.astype("datetime64[s]"), humidity


@given(logs())
def test_hours_add_up_whatever_the_log(log: tuple[Times, Column]) -> None:
    told = exposure(log[0], np.full(log[0].shape, 20.0), log[1])
    if told is None:
        assert np.isfinite(log[1]).sum() < 2 or np.diff(log[0]).max() > np.timedelta64(26, "h")
        return
    bands = told.below_hours + told.inside_hours + told.above_hours
    assert bands == pytest.approx(told.covered_hours)
    missing = sum(gap.hours - told.interval_hours for gap in told.gaps)
    span = (told.last - told.first).total_seconds() / 3600.0 + told.interval_hours
    assert told.covered_hours + missing == pytest.approx(span)
    assert told.lowest - 1e-9 <= told.mean <= told.highest + 1e-9
    by_month = sum(
        month.humidity * month.coverage * hours
        for month, hours in zip(told.months, (744, 696, 744, 720, 744), strict=False)
    )
    if told.first.month == 1:
        assert by_month == pytest.approx(told.mean * told.covered_hours)


def slow_mean(times: Times, humidity: Column, hours: float, gap: tuple[float, float]) -> Column:
    """The centred mean minute by minute: outside the gap, each has the reading nearest to it."""
    minute = (times - times[0]).astype(np.float64) / 60.0
    grid = np.arange(minute[-1]) + 0.5
    nearest = np.abs(grid[:, None] - minute[None, :]).argmin(axis=1)
    near = (grid < gap[0] * 60.0) | (grid > gap[1] * 60.0)
    means = np.full(minute.shape, np.nan)
    for row, at in enumerate(minute):
        inside = (np.abs(grid - at) < hours * 30.0) & near
        if at >= hours * 30.0 and at <= minute[-1] - hours * 30.0 and inside.sum() >= 45.0 * hours:
            means[row] = humidity[nearest[inside]].mean()
    return means


def test_running_mean_is_that_of_every_minute() -> None:
    kept = np.r_[0:70, 75:130, 131:200]
    times = hourly(9)[kept]
    humidity = 45.0 + 15.0 * np.sin(kept / 9.0) + 5.0 * np.cos(kept * 2.3)
    got = running_mean(times, humidity, days=1.5)
    # Five hours without readings are a gap; the one missing hour is held by its neighbours
    expected = slow_mean(times, humidity, 36.0, gap=(69.5, 74.5))
    inner = ~np.isnan(expected)
    assert inner.sum() > 130
    np.testing.assert_allclose(got[inner], expected[inner], atol=0.02)
    assert np.isnan(got[:17]).all()
    assert np.isnan(got[-17:]).all()


def test_running_mean_keeps_to_the_rows_it_was_given() -> None:
    humidity = np.full(20 * 24, 40.0)
    humidity[[100, 200]] = np.nan
    course = running_mean(hourly(20), humidity, days=7.0)
    assert course.shape == humidity.shape
    assert np.isnan(course[[0, 100, 200, -1]]).all()
    assert course[150] == pytest.approx(40.0)


def test_visits_are_no_log() -> None:
    weekly = hourly(70)[:: 7 * 24]
    assert exposure(weekly, np.full(10, 20.0), np.full(10, 45.0)) is None
    assert np.isnan(running_mean(weekly, np.full(10, 45.0))).all()
    one = hourly(1)[:1]
    assert exposure(one, np.array([20.0]), np.array([45.0])) is None
    empty = np.array([], dtype="datetime64[s]")
    assert exposure(empty, np.array([]), np.array([])) is None


def test_a_daily_book_is_a_log() -> None:
    told = account(hourly(60)[9::24], np.full(60, 45.0))
    assert (told.interval_hours, told.covered_hours, told.daily_swing) == (24.0, 1440.0, None)
    assert told.driest_week is not None


def test_columns_that_do_not_fit() -> None:
    times, steady = hourly(1), np.full(24, 45.0)
    with pytest.raises(
        ValueError, match=whole("times, temperature and humidity are columns of unlike length")
    ):
        exposure(times, steady[1:], steady)
    with pytest.raises(ValueError, match=whole("times are outside strictly rising order")):
        exposure(times[::-1], steady, steady)
    with pytest.raises(ValueError, match=whole("relative humidity 140 % is outside 0 to 100 %")):
        exposure(times, steady, np.where(times == times[3], 140.0, steady))
    with pytest.raises(ValueError, match=whole("air temperature 999 °C is outside -60 to 80 °C")):
        exposure(times, np.full(24, 999.0), steady)
    with pytest.raises(
        ValueError, match=whole("band 55 to 35 % is outside the range of 0 to 100 %, low to high")
    ):
        Band(55.0, 35.0)
    with pytest.raises(ValueError, match=whole("window 0 days is outside the range above 0 days")):
        running_mean(times, steady, days=0.0)


def test_figures_are_plain_python() -> None:
    told = account(*a_year())
    plain = (int, float, date, datetime, tuple, Band, Stretch, DrySpell, type(told.departures))
    assert len(fields(told)) > 20
    for field in fields(told):
        value = getattr(told, field.name)
        assert type(value) in plain, field.name


def test_a_year_is_read_at_a_glance() -> None:
    times, humidity = a_year()
    account(times, humidity)
    took = []
    for _ in range(3):
        begun = time.perf_counter()
        account(times, humidity)
        took.append(time.perf_counter() - begun)
    assert min(took) < 0.1
