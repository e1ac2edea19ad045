"""Why the pitch moved: the share of each cause, and what a year of the room does to it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from dossier.analysis import wood
from dossier.analysis.answers import NotEnough, Shares, Swing
from dossier.analysis.coverage import day_of_year
from dossier.analysis.mixture import Fit
from dossier.analysis.moments import combined, estimates
from dossier.analysis.ranges import Column
from dossier.analysis.rows import settled_between
from dossier.analysis.series import Comparison, Series
from dossier.analysis.wood_state import (
    CONSTANTS_DAYS,
    YEAR_DAYS,
    RoomAir,
    WoodStates,
)

STEADY_POINTS = 10.0
"""Points of RH, driest to dampest, within which a room is called steady.  Common practice."""


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """All that the answers draw on: the comparisons, the wood at the visits, the fit.

    `room`: where the instrument stands now; `readings`: the air's moisture at each visit, %.
    """

    series: Series
    wood: WoodStates
    room: RoomAir
    readings: Column
    fit: Fit


def register_shares(series: Series, registers: list[int]) -> Column:
    """The weight of each of some registers in the whole compass: by their keys."""
    keys = np.array([series.keys[register] for register in registers], dtype=np.float64)
    return np.asarray(keys / keys.sum())


def swing(work: Work) -> Swing:
    """Cents between the wood's driest and dampest day of a usual year in this room.

    The humidity response times the yearly range of the wood, a lagged harmonic's; a steady room
    holds the air within `STEADY_POINTS`, and the wood lags it alike.  What it saves is not less
    than nothing.
    """
    curve, found = work.room.curve, work.fit
    turn = 2.0 * np.pi / YEAR_DAYS
    slow = turn * CONSTANTS_DAYS[found.constant]
    kept = 1.0 / np.sqrt(1.0 + slow**2)
    cosine, sine = (part[found.year] for part in curve.years())
    now = 2.0 * np.hypot(cosine, sine)
    steady = np.minimum(now, _steady_range(curve.mean))
    ranges = kept[:, None] * np.stack([now, steady, now - steady], axis=-1)
    functional = np.zeros((len(kept), 3, 9))
    functional[..., 0:3] = ranges[..., None] * register_shares(work.series, [0, 1, 2])
    cents, steady_cents, saved = estimates(found, combined(found, functional))
    half = 0.5 * float(found.weight @ ranges[:, 0])
    delay = float(found.weight @ np.arctan(slow)) / turn
    dampest = float(np.arctan2(curve.sine, curve.cosine)) / turn + delay
    return Swing(
        cents=cents,
        steady=steady_cents,
        saved=replace(saved, low=max(saved.low, min(saved.value, 0.0))),
        steady_points=STEADY_POINTS,
        driest=day_of_year(dampest + YEAR_DAYS / 2.0),
        dampest=day_of_year(dampest),
        moisture_low=curve.mean - half,
        moisture_high=curve.mean + half,
    )


def _steady_range(mean: float) -> float:
    """The range of moisture in a room of the same mean held within `STEADY_POINTS`, %."""
    humidity = np.linspace(1.0, 99.0, 99)
    moisture = wood.moisture_content(20.0, humidity)
    middle = float(np.interp(mean, moisture, humidity))
    low, high = np.interp(
        [middle - STEADY_POINTS / 2.0, middle + STEADY_POINTS / 2.0], humidity, moisture
    )
    return float(high - low)


def shares(work: Work) -> Shares | NotEnough:
    """How the pitch moved since it was last set, parted by cause.

    Each cause's share is the mean of its posterior, with the wood's uncertainty; the rest is
    what was observed less their sum.
    """
    last = last_comparisons(work.series)
    if not last or work.series.last_found != last[0].visit:
        return NotEnough(("second visit",))
    since = last[0].since_set
    weights = register_shares(work.series, [item.register for item in last])
    found = work.fit
    functional = np.zeros((len(found.weight), 4, 9))
    for item, weight in zip(last, weights.tolist(), strict=True):
        base = item.since_set
        moved_wood = wood_of(work, item.visit) - wood_of(work, base.visit)
        functional[:, 0, item.register] = weight * moved_wood
        settled = settled_between(
            np.array(base.day - base.set_day, float), np.array(item.day - base.set_day, float)
        )
        functional[:, 1, 6 + item.register] = -weight * base.raised * settled[found.settling]
        functional[:, 2, 3 + item.register] = weight * (item.day - base.day) / YEAR_DAYS
    functional[:, 3] = -functional[:, :3].sum(axis=1)
    unsure = found.response * float(
        work.wood.variance[last[0].visit] + work.wood.variance[since.visit]
    )
    moments = combined(found, functional)
    observed = float(weights @ np.array([item.cents - item.since_set.cents for item in last]))
    moments.mean[3] += observed
    humidity, settling, fall, rest = estimates(found, moments, np.array([unsure, 0.0, 0.0, unsure]))
    until = last[0].visit
    return Shares(
        since=work.series.visits[since.visit][1],
        until=work.series.visits[until][1],
        since_visit=work.series.visits[since.visit][0],
        until_visit=work.series.visits[until][0],
        observed=observed,
        humidity=humidity,
        settling=settling,
        slow_fall=fall,
        rest=rest,
        moisture_since=float(work.wood.usual[since.visit]),
        moisture_until=float(work.wood.usual[until]),
    )


def last_comparisons(series: Series) -> list[Comparison]:
    """The registers of the last visit that was compared, those that were set on one day."""
    if not series.comparisons:
        return []
    visit = series.comparisons[-1].visit
    there = [item for item in series.comparisons if item.visit == visit]
    earliest = max(there, key=lambda item: item.since_set.visit).since_set.visit
    return [item for item in there if item.since_set.visit == earliest]


def wood_of(work: Work, visit: int) -> Column:
    """The wood at a visit at each point of the mixture, (g)."""
    return np.asarray(work.wood.moisture[work.fit.constant, work.fit.year, visit])
