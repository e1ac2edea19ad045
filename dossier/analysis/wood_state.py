"""The state of the wood through the years: the room's air, lagged.

A board answers the air of the last weeks.  Its state is a first-order lag of the moisture content
that it would come to in the air, m' = (air - m) / T; the time constant T and how a room's year runs
are not well known, so that every state is given for all of a grid of them.

Air is a yearly harmonic with departures: what a log shows of them is used as it is; one reading at
a visit tells of a part that fades with the time that departures hold; without either, they stand
as an error.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.answers import CurveBasis, WoodBasis
from dossier.analysis.ranges import Column
from dossier.analysis.regression import Prior, regress

YEAR_DAYS = 365.25

CONSTANTS_DAYS = 5.0 * 2.0 ** (np.arange(9) / 2.0)
"""5 to 80 days, even in the logarithm: ribbed and varnished spruce of 6 to 10 mm; from memory."""

USUAL_CONSTANT_DAYS, CONSTANT_FACTOR = 20.0, 2.0
"""Median and, once up and down, the spread of the time constant; from memory."""

YEAR_WEIGHTS = np.array([1 / 3, 1 / 6, 1 / 6, 1 / 6, 1 / 6])
YEAR_STEP = float(np.sqrt(3.0))
"""How a room's year may run: as fitted, later, earlier, wider, narrower by `YEAR_STEP` standard
deviations, the third-degree rule for a normal in two dimensions."""

NARROWEST = 0.15
"""No year is taken to be narrower than this part of the one fitted."""

USUAL_CONSTANT, USUAL_YEAR = 4, 0
"""Places in the grid of the usual time constant and of the year as fitted."""

DEPARTURE, HOLD_DAYS = 0.7, 14.0
"""Spread in % moisture of a room's daily air about its year, and the days for which a departure
holds.  Outdoor air, warmed, departs for 2 days (hourly year of New York, 2013); a house keeps its
habits for weeks, which no log of it showed us: from memory."""

ENOUGH_LOG = 0.5
"""Share of the wood's memory that must be logged for a state to rest on the log."""

RECENT_DAYS = 3
"""Days of log whose mean is taken as the air's departure now."""

MEMORY = 6.0
"""Time constants after which the wood has forgotten (e^-6 is 0.2 %)."""


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A room's year: `mean` + `cosine` cos(wt) + `sine` sin(wt), % moisture of its air.

    t in days of `date.toordinal`, w = 2 pi / 365.25.  `covariance`: of the three, (3, 3).
    """

    mean: float
    cosine: float
    sine: float
    covariance: Column
    basis: CurveBasis
    readings: int = 0

    @property
    def amplitude(self) -> float:
        return float(np.hypot(self.cosine, self.sine))

    def years(self) -> tuple[Column, Column]:
        """The cosines and the sines of the ways in which the year may run, (5) each.

        Along the wave it gets wider or narrower, across it later or earlier.
        """
        here = np.array([self.cosine, self.sine])
        size = max(self.amplitude, 1e-6)
        along = here / size
        across = np.array([-along[1], along[0]])
        spread = self.covariance[1:, 1:]
        later, wider = (float(np.sqrt(way @ spread @ way)) for way in (across, along))
        wider = min(YEAR_STEP * wider, (1.0 - NARROWEST) * size)
        angle = np.arctan(YEAR_STEP * later / size) * np.array([0.0, 1.0, -1.0, 0.0, 0.0])
        length = size + wider * np.array([0.0, 0.0, 0.0, 1.0, -1.0])
        turned = np.cos(angle) * along[:, None] + np.sin(angle) * across[:, None]
        return length * turned[0], length * turned[1]


@dataclass(frozen=True, slots=True, eq=False)
class RoomAir:
    """A room's year, and its logged days: ordinals and their mean moisture in %, gaps left out."""

    curve: Curve
    days: NDArray[np.int64]
    moisture: Column


@dataclass(frozen=True, slots=True, eq=False)
class WoodStates:
    """The wood on some days: `moisture` in %, (time constants, years, days).

    `variance`: of each for a given year, at the usual constant, (days), in %^2; `basis` of each.
    """

    moisture: Column
    variance: Column
    basis: tuple[WoodBasis, ...]

    @property
    def usual(self) -> Column:
        """The states at the middle of the grid, (days)."""
        return np.asarray(self.moisture[USUAL_CONSTANT, USUAL_YEAR])


def constant_weights() -> Column:
    """The prior weights of the time constants, log-normal, adding to 1."""
    apart = np.log(CONSTANTS_DAYS / USUAL_CONSTANT_DAYS) / np.log(CONSTANT_FACTOR)
    weight = np.exp(-0.5 * apart**2)
    return np.asarray(weight / weight.sum())


def fit_curve(
    expected: Column, spread: Column, days: Column, moisture: Column, basis: CurveBasis
) -> Curve:
    """Return a room's year from what is expected of it and from its readings.

    `expected`: mean, cosine, sine in %; `spread`: the standard deviations in % of the mean, of
    how wide and of how late the year is; `days`, `moisture`: ordinals and air moisture of readings
    and logged months, each off the year by about `DEPARTURE`.
    """
    size = max(float(np.hypot(expected[1], expected[2])), 1e-6)
    cosine, sine = expected[1:] / size
    axes = np.array([[1.0, 0.0, 0.0], [0.0, cosine, sine], [0.0, -sine, cosine]])
    prior = Prior(
        mean=expected, root=axes * (DEPARTURE / spread)[:, None], shape=1e6, rate=1e6 * DEPARTURE**2
    )
    turn = 2.0 * np.pi * days / YEAR_DAYS
    design = np.stack([np.ones_like(turn), np.cos(turn), np.sin(turn)], axis=-1)
    found = regress(design, moisture, prior)
    backward = np.linalg.inv(found.root)
    mean, cosine, sine = (float(value) for value in found.mean)
    spreads = np.asarray(DEPARTURE**2 * backward @ backward.T)
    return Curve(mean, cosine, sine, spreads, basis, len(days))


def lagged(curve: Curve, days: Column) -> Column:
    """Return the wood in a usual year, % moisture, (time constants, years, days).

    The lag of a harmonic in closed form: smaller by sqrt(1 + (wT)^2), later by atan(wT) / w.
    """
    turn = 2.0 * np.pi / YEAR_DAYS
    slow = turn * CONSTANTS_DAYS[:, None]
    late = turn * days - np.arctan(slow)
    cosine, sine = (part[:, None] for part in curve.years())
    kept = (1.0 / np.sqrt(1.0 + slow**2))[:, None]
    wave = cosine * np.cos(late)[:, None] + sine * np.sin(late)[:, None]
    return np.asarray(curve.mean + kept * wave)


def states(room: RoomAir, days: Column, readings: Column) -> WoodStates:
    """Return the wood on `days` (ordinals) in a room; `readings` is the air's moisture read on
    them in %, NaN where none was.

    From the log where it covers half the wood's memory; else the yearly curve, drawn towards the
    reading by HOLD / (HOLD + T), the regression of a lagged departure on the departure itself.
    """
    usual = lagged(room.curve, days)
    known, logged = _logged(room, days)
    share = HOLD_DAYS / (HOLD_DAYS + CONSTANTS_DAYS)
    read = share[:, None, None] * (readings - _air(room.curve, days))
    by_log = known[USUAL_CONSTANT, 0] >= ENOUGH_LOG
    by_reading = ~by_log & np.isfinite(readings)
    moisture = np.where(by_log, usual + logged, np.where(by_reading, usual + read, usual))
    part = float(share[USUAL_CONSTANT])
    missing = 1.0 - known[USUAL_CONSTANT, 0]
    spare = np.where(by_log, part * missing**2, np.where(by_reading, part * (1.0 - part), part))
    return WoodStates(
        moisture=np.asarray(moisture),
        variance=np.asarray(DEPARTURE**2 * spare),
        basis=tuple(_bases(by_log, by_reading)),
    )


def ahead(room: RoomAir, since: float, reading: float, days: Column) -> WoodStates:
    """Return the wood on `days` to come, in order, as seen from day `since` and its `reading`.

    What the wood is off its year fades with T; what the air is off its year fades with HOLD and
    reaches the wood late.  `variance`: of the change from `since`, nothing on that day itself.
    Where the log goes on past `since`, from the log's last day.
    """
    if room.days.size and room.days[-1] >= since:
        begun = float(room.days[-1]) + 1.0
        logged = days[days <= begun]
        known = states(room, logged, np.full(logged.shape, np.nan))
    else:
        known, begun = None, since
    start = states(room, np.array([begun]), np.array([reading if known is None else np.nan]))
    off = start.moisture - lagged(room.curve, np.array([begun]))
    air_off = _air_off(room, begun, reading if known is None else float("nan"))
    past = np.maximum(days - begun, 0.0)
    tau = CONSTANTS_DAYS[:, None, None]
    fades = np.exp(-past / tau)
    late = HOLD_DAYS / (HOLD_DAYS - tau) * (np.exp(-past / HOLD_DAYS) - fades)
    moisture = lagged(room.curve, days) + off * fades + air_off[None, :, None] * late
    fade = np.exp(-past / USUAL_CONSTANT_DAYS)
    part = DEPARTURE**2 * HOLD_DAYS / (HOLD_DAYS + USUAL_CONSTANT_DAYS)
    first = float(start.variance[0])
    variance = first * (1.0 - fade) ** 2 + part * (1.0 - fade**2)
    basis = curve_alone(len(days))
    if known is not None:
        inside = len(known.basis)
        moisture[..., :inside] = known.moisture
        variance[:inside] = 2.0 * known.variance
        basis = known.basis + basis[inside:]
    return WoodStates(np.asarray(moisture), np.asarray(variance), basis)


def curve_alone(count: int) -> tuple[WoodBasis, ...]:
    """The basis of days for which only the yearly curve speaks."""
    alone: WoodBasis = "curve"
    return (alone,) * count


def _air_off(room: RoomAir, day: float, reading: float) -> Column:
    """How far the air is off its year on a day, % moisture, (years); 0 where nothing says."""
    usual = _air(room.curve, np.array([day]))[:, 0]
    if np.isfinite(reading):
        return np.asarray(reading - usual)
    recent = (room.days >= day - RECENT_DAYS) & (room.days < day)
    if not recent.any():
        return np.zeros(len(YEAR_WEIGHTS))
    return np.asarray(room.moisture[recent].mean() - usual)


def _bases(by_log: NDArray[np.bool_], by_reading: NDArray[np.bool_]) -> Sequence[WoodBasis]:
    return [
        "log" if log else "reading" if reading else "curve"
        for log, reading in zip(by_log.tolist(), by_reading.tolist(), strict=True)
    ]


def _air(curve: Curve, days: Column) -> Column:
    """The air of a usual year, % moisture, (years, days)."""
    turn = 2.0 * np.pi * days / YEAR_DAYS
    cosine, sine = (part[:, None] for part in curve.years())
    return np.asarray(curve.mean + cosine * np.cos(turn) + sine * np.sin(turn))


def _logged(room: RoomAir, days: Column) -> tuple[Column, Column]:
    """The share of the wood's memory that is logged, (constants, 1, days), and what the log adds
    to a usual year there, % moisture, (constants, years, days)."""
    known = np.zeros((len(CONSTANTS_DAYS), 1, len(days)))
    adds = np.zeros((len(CONSTANTS_DAYS), len(YEAR_WEIGHTS), len(days)))
    if not room.days.size:
        return known, adds
    apart = room.moisture - _air(room.curve, room.days.astype(np.float64))
    longest = int(MEMORY * CONSTANTS_DAYS[-1])
    for place, day in enumerate(days):
        start, end = np.searchsorted(room.days, [day - longest, day])
        if start == end:
            continue
        ago = day - room.days[start:end] - 0.5
        weight = np.exp(-ago / CONSTANTS_DAYS[:, None]) / CONSTANTS_DAYS[:, None]
        known[:, 0, place] = np.minimum(weight.sum(axis=-1), 1.0)
        adds[:, :, place] = weight @ apart[:, start:end].T
    return known, adds
