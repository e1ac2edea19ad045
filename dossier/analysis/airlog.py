"""A room's hygrometer log as columns: what each reading stands for, and where readings fail.

A log has gaps and its own interval. Each reading stands for half the time to its neighbours, so
that an uneven log is not led by its busiest day; time in a gap belongs to no reading, is left
out of every figure and listed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.ranges import Column, within

Times = NDArray[np.datetime64]

GAP_INTERVALS, GAP_HOURS = 3.0, 3.0
"""A gap is longer than both: three of the log's own intervals, three hours. Common practice."""

LONGEST_INTERVAL_HOURS = 26.0
"""Readings further apart than daily ones are visits, not a log: nobody knows the air between."""

ENOUGH = 0.75
"""The share of a day, a week or 30 days that must be covered before it gets a figure."""

DAY_HOURS = 24.0


@dataclass(frozen=True, slots=True)
class Gap:
    """Time without readings, between the last before and the first after it."""

    start: datetime
    end: datetime
    hours: float


@dataclass(frozen=True, slots=True, eq=False)
class AirLog:
    """The rows of a log that have a humidity.

    `times`: datetime64[s]; `clock`: hours since the first row; `starts`, `hours`: from when on
    that clock, and how long, each row stands; `humidity` in % RH; `temperature_c` in °C, NaN where
    missing; `interval`: the log's own, in hours (median); `gap_after`: whether a gap follows each
    row but the last.
    """

    times: Times
    clock: Column
    starts: Column
    hours: Column
    humidity: Column
    temperature_c: Column
    interval: float
    gap_after: NDArray[np.bool_]


def air_log(times: Times, temperature_c: Column, humidity: Column) -> AirLog | None:
    """Return the log of these columns, or None where they are too few or too far apart for one.

    Two rows with humidity at least, and a typical interval of a day at most.

    Raises ValueError for columns of unlike length, times that do not rise, humidity outside 0 to
    100 % or temperature outside -60 to 80 °C.
    """
    if not np.shape(times) == np.shape(temperature_c) == np.shape(humidity):
        raise ValueError("times, temperature and humidity are columns of unlike length")
    stamps = np.asarray(times).astype("datetime64[s]")
    if np.isnat(stamps).any() or (np.diff(stamps) <= np.timedelta64(0, "s")).any():
        raise ValueError("times are outside strictly rising order")
    rh = within(humidity, "relative humidity", 0.0, 100.0, "%")
    temperature = within(temperature_c, "air temperature", -60.0, 80.0, "°C")
    known = ~np.isnan(rh)
    if known.sum() < 2:
        return None
    stamps = stamps[known]
    clock = (stamps - stamps[0]).astype(np.float64) / 3600.0
    steps = np.diff(clock)
    interval = float(np.median(steps))
    if interval > LONGEST_INTERVAL_HOURS:
        return None
    gap_after = steps > max(GAP_INTERVALS * interval, GAP_HOURS)
    near = np.where(gap_after, interval, steps)
    before, after = np.append(interval, near) / 2.0, np.append(near, interval) / 2.0
    return AirLog(
        times=stamps,
        clock=clock,
        starts=clock - before,
        hours=before + after,
        humidity=rh[known],
        temperature_c=temperature[known],
        interval=interval,
        gap_after=gap_after,
    )


def gaps(log: AirLog) -> tuple[Gap, ...]:
    """Return the gaps of the log, in order: what its figures say nothing about."""
    return tuple(
        Gap(log.times[i].item(), log.times[i + 1].item(), float(log.clock[i + 1] - log.clock[i]))
        for i in np.flatnonzero(log.gap_after)
    )


def centred_mean(log: AirLog, window_hours: float) -> Column:
    """Return the mean humidity in % RH over a window centred on each row, weighted by time.

    NaN where the window reaches beyond the log, or less than 75 % of it is covered.
    """
    bounds = np.stack([log.starts, log.starts + log.hours], axis=1).ravel()
    edges = log.clock + np.array([[-0.5], [0.5]]) * window_hours
    covered, product = (
        np.diff(np.interp(edges, bounds, _risen(column)), axis=0)[0]
        for column in (log.hours, log.hours * log.humidity)
    )
    tolerance = 1e-9 * window_hours
    whole = (edges[0] >= bounds[0] - tolerance) & (edges[1] <= bounds[-1] + tolerance)
    means = np.full(covered.shape, np.nan)
    np.divide(product, covered, out=means, where=whole & (covered >= ENOUGH * window_hours))
    return means


def _risen(column: Column) -> Column:
    """Return the running total at the start and the end of each row."""
    total = np.cumsum(column)
    return np.stack([total - column, total], axis=1).ravel()
