"""What air an instrument stood in: the account of a room's hygrometer log.

Every figure is weighted by the time its readings stand for, gaps left out (see `airlog`). Days
and months are those of the log's own clock: UTC if it is in UTC.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.airlog import (
    DAY_HOURS,
    ENOUGH,
    AirLog,
    Gap,
    Times,
    air_log,
    centred_mean,
    gaps,
)
from dossier.analysis.ranges import Column

SWING_READINGS = 6
"""Fewer readings in a day do not show how far the air swung in it."""

SEASONS_MONTHS = 10
"""Calendar months, half covered, without which a log has not seen a year's range."""


@dataclass(frozen=True, slots=True)
class Band:
    """The comfort band in % RH, its edges included; the shop's and the season's own.

    35 to 55 % is common practice, no source. Steadiness matters more than the figure.
    """

    low: float = 35.0
    high: float = 55.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.low < self.high <= 100.0:
            raise ValueError(
                f"band {self.low:g} to {self.high:g} % is outside the range of 0 to 100 %, low to"
                " high"
            )


COMMON_BAND = Band()


@dataclass(frozen=True, slots=True)
class Stretch:
    """Whole days, both included, and the mean humidity over them in % RH."""

    first_day: date
    last_day: date
    humidity: float


@dataclass(frozen=True, slots=True)
class DrySpell:
    """Time on end in which the centred 24 h mean lay below the band, by the log's own clock.

    `driest` is the lowest such mean in % RH. The first and last 12 hours of a log have none.
    """

    start: datetime
    end: datetime
    hours: float
    driest: float


@dataclass(frozen=True, slots=True)
class MonthMean:
    """A calendar month (`month` is its first day): means in % RH and °C, share of it covered."""

    month: date
    humidity: float
    temperature_c: float | None
    coverage: float


@dataclass(frozen=True, slots=True)
class Departures:
    """How far the air strays from its own seasonal course, in points of RH.

    `low`, `high`: 7th and 93rd percentile of the departures from the 30-day running mean, the
    bounds of the climate an instrument has got used to. Source: the idea of EN 15757:2010, its
    details from memory. `hours`: the time that has such a mean.
    """

    low: float
    high: float
    hours: float


@dataclass(frozen=True, slots=True)
class Exposure:
    """A humidity log in figures. Humidity in % RH, spans in hours, shares from 0 to 1.

    `first`, `last`: the first and last reading of humidity, of `readings_count`;
    `interval_hours`: the log's own; `covered_hours`: time that readings stand for, `coverage` its
    share of the log's whole span; `mean`, `lowest`, `highest` of the humidity.
    `below_hours`, `inside_hours`, `above_hours`: the covered time by `band`, and each one's share.
    `daily_swing`: median over days of highest less lowest, in points, from `swing_days` days.
    `driest_week`, `dampest_week`, `driest_30_days`, `dampest_30_days`: by their mean.
    `seasonal_range`: the last two's difference in points, where the log has seen the seasons.
    None wherever the log does not cover enough for the figure.
    """

    first: datetime
    last: datetime
    readings_count: int
    interval_hours: float
    covered_hours: float
    coverage: float
    gaps: tuple[Gap, ...]
    mean: float
    lowest: float
    highest: float
    band: Band
    below_hours: float
    inside_hours: float
    above_hours: float
    below_share: float
    inside_share: float
    above_share: float
    daily_swing: float | None
    swing_days: int
    months: tuple[MonthMean, ...]
    driest_week: Stretch | None
    dampest_week: Stretch | None
    driest_30_days: Stretch | None
    dampest_30_days: Stretch | None
    seasonal_range: float | None
    longest_dry_spell: DrySpell | None
    departures: Departures | None


def exposure(
    times: Times, temperature_c: Column, humidity: Column, band: Band = COMMON_BAND
) -> Exposure | None:
    """Return the account of a log, or None for readings too few or too far apart for a log.

    What the wood went through is the cause that a pitch record is read against, and what a
    steadier room would mend. `times`: datetime64, strictly rising; `temperature_c` in °C and
    `humidity` in % RH, the same length, NaN where missing. Every mean is weighted by time.
    Common practice, no source, where a name above does not say otherwise.

    Raises ValueError for columns of unlike length, times that do not rise, humidity outside 0 to
    100 % or temperature outside -60 to 80 °C.
    """
    log = air_log(times, temperature_c, humidity)
    if log is None:
        return None
    covered = float(log.hours.sum())
    is_below, is_above = log.humidity < band.low, log.humidity > band.high
    below, inside, above = (
        float(log.hours[where].sum()) for where in (is_below, ~(is_below | is_above), is_above)
    )
    missing = gaps(log)
    swing, swing_days = _daily_swing(log)
    months = _months(log)
    driest_week, dampest_week = _extremes(log, 7)
    driest_30_days, dampest_30_days = _extremes(log, 30)
    return Exposure(
        first=log.times[0].item(),
        last=log.times[-1].item(),
        readings_count=log.times.size,
        interval_hours=log.interval,
        covered_hours=covered,
        coverage=covered / (covered + sum(gap.hours - log.interval for gap in missing)),
        gaps=missing,
        mean=float(np.average(log.humidity, weights=log.hours)),
        lowest=float(log.humidity.min()),
        highest=float(log.humidity.max()),
        band=band,
        below_hours=below,
        inside_hours=inside,
        above_hours=above,
        below_share=below / covered,
        inside_share=inside / covered,
        above_share=above / covered,
        daily_swing=swing,
        swing_days=swing_days,
        months=months,
        driest_week=driest_week,
        dampest_week=dampest_week,
        driest_30_days=driest_30_days,
        dampest_30_days=dampest_30_days,
        seasonal_range=_seasonal_range(months, driest_30_days, dampest_30_days),
        longest_dry_spell=_longest_dry_spell(log, band.low),
        departures=_departures(log),
    )


def running_mean(times: Times, humidity: Column, days: float = 30.0) -> Column:
    """Return the centred running mean of humidity over `days`, in % RH, one for each time.

    The seasonal course that an instrument follows, without the weather. NaN where humidity is
    missing, where the window reaches beyond the log, or where less than 75 % of it is covered.
    Source: the idea of EN 15757:2010 (30 days, centred); details from memory.

    Raises ValueError as `exposure`, and for a window that is not above 0 days.
    """
    if not days > 0.0:
        raise ValueError(f"window {days:g} days is outside the range above 0 days")
    course = np.full(np.shape(times), np.nan)
    log = air_log(times, np.full(np.shape(times), np.nan), humidity)
    if log is not None:
        course[~np.isnan(humidity)] = centred_mean(log, days * DAY_HOURS)
    return course


def _sums(place: NDArray[np.int64], values: Column, hours: Column) -> tuple[Column, Column]:
    """Return, for each place from 0, the hours with a value and the sum of value times hours."""
    known = ~np.isnan(values)
    weight = np.where(known, hours, 0.0)
    product = np.where(known, values, 0.0) * weight
    covered = np.bincount(place, weight)
    return np.asarray(covered, np.float64), np.asarray(np.bincount(place, product), np.float64)


def _places(log: AirLog, unit: Literal["D", "M"]) -> tuple[np.datetime64, NDArray[np.int64]]:
    """Return the first day or month of the log, and each row's count from it."""
    calendar = log.times.astype(f"datetime64[{unit}]")
    return calendar[0], (calendar - calendar[0]).astype(np.int64)


def _daily_swing(log: AirLog) -> tuple[float | None, int]:
    _, day = _places(log, "D")
    starts = np.flatnonzero(np.diff(day, prepend=-1))
    highest = np.maximum.reduceat(log.humidity, starts)
    lowest = np.minimum.reduceat(log.humidity, starts)
    counts = np.diff(starts, append=day.size)
    covered = np.add.reduceat(log.hours, starts)
    enough = (counts >= SWING_READINGS) & (covered >= ENOUGH * DAY_HOURS)
    swings = (highest - lowest)[enough]
    return (float(np.median(swings)) if swings.size else None), int(swings.size)


def _months(log: AirLog) -> tuple[MonthMean, ...]:
    first, month = _places(log, "M")
    covered, humidity = _sums(month, log.humidity, log.hours)
    warm, temperature = _sums(month, log.temperature_c, log.hours)
    firsts = (first + np.arange(covered.size + 1)).astype("datetime64[D]")
    length = np.diff(firsts).astype(np.float64) * DAY_HOURS
    return tuple(
        MonthMean(
            month=_date(firsts[i]),
            humidity=float(humidity[i] / covered[i]),
            temperature_c=float(temperature[i] / warm[i]) if warm[i] else None,
            coverage=min(1.0, float(covered[i] / length[i])),
        )
        for i in np.flatnonzero(covered)
    )


def _extremes(log: AirLog, days: int) -> tuple[Stretch | None, Stretch | None]:
    """Return the driest and the dampest run of `days` calendar days that is covered enough."""
    first, day = _places(log, "D")
    covered, humidity = (_windows(column, days) for column in _sums(day, log.humidity, log.hours))
    enough = covered >= ENOUGH * days * DAY_HOURS
    if not enough.any():
        return None, None
    means = np.divide(humidity, covered, out=np.full(covered.shape, np.nan), where=enough)

    def stretch(place: np.int64) -> Stretch:
        start = first + place
        return Stretch(_date(start), _date(start + (days - 1)), float(means[place]))

    return stretch(np.nanargmin(means)), stretch(np.nanargmax(means))


def _date(day: np.datetime64) -> date:
    return date.fromisoformat(str(day))


def _windows(column: Column, days: int) -> Column:
    total = np.append(0.0, np.cumsum(column))
    return np.asarray(total[days:] - total[:-days])


def _seasonal_range(
    months: tuple[MonthMean, ...], driest: Stretch | None, dampest: Stretch | None
) -> float | None:
    seen = {month.month.month for month in months if month.coverage >= 0.5}
    if driest is None or dampest is None or len(seen) < SEASONS_MONTHS:
        return None
    return dampest.humidity - driest.humidity


def _longest_dry_spell(log: AirLog, low: float) -> DrySpell | None:
    """Return the longest run of rows whose centred 24 h mean is below `low`.

    A gap ends it unless it is so short that the mean of the day around it stands.
    """
    means = centred_mean(log, DAY_HOURS)
    dry = means < low
    if not dry.any():
        return None
    long_gap = log.gap_after & (np.diff(log.clock) > (1.0 - ENOUGH) * DAY_HOURS)
    joined = dry[1:] & dry[:-1] & ~long_gap
    starts = np.flatnonzero(dry & ~np.append(False, joined))
    ends = np.flatnonzero(dry & ~np.append(joined, False))
    longest = np.argmax(log.clock[ends] - log.clock[starts])
    start, end = starts[longest], ends[longest]
    return DrySpell(
        start=log.times[start].item(),
        end=log.times[end].item(),
        hours=float(log.clock[end] - log.clock[start]) + log.interval,
        driest=float(means[start : end + 1].min()),
    )


def _departures(log: AirLog) -> Departures | None:
    course = centred_mean(log, 30.0 * DAY_HOURS)
    known = ~np.isnan(course)
    if not known.any():
        return None
    apart, hours = (log.humidity - course)[known], log.hours[known]
    order = np.argsort(apart)
    share = np.cumsum(hours[order]) - hours[order] / 2.0
    low, high = np.interp(np.array([0.07, 0.93]) * hours.sum(), share, apart[order])
    return Departures(float(low), float(high), float(hours.sum()))
