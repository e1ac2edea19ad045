"""Invented instruments whose truth is known, to see how often the stated intervals hold it.

Drawn from the model itself, or from one that is wrong in ways that a real piano is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from scipy.signal import lfilter

from dossier.analysis.answers import Estimate, NotEnough
from dossier.analysis.causes import Work, swing
from dossier.analysis.forecast import forecast
from dossier.analysis.mixture import CORRELATIONS, SETTLING_WEIGHTS, Fit, fit
from dossier.analysis.priors import STARTING, Priors, covariance
from dossier.analysis.ranges import Column
from dossier.analysis.rows import SETTLING_DAYS, as_rows
from dossier.analysis.series import READING_CENTS, Comparison, Known, Series
from dossier.analysis.wood_state import (
    CONSTANTS_DAYS,
    DEPARTURE,
    HOLD_DAYS,
    YEAR_DAYS,
    Curve,
    RoomAir,
    constant_weights,
    fit_curve,
    states,
)

KEYS = (20, 28, 40)
SHARES = np.array(KEYS) / sum(KEYS)
BEGINS = date(2015, 1, 1).toordinal()
WARM_UP_DAYS = 500
SEED = 20261125
VISITS = (2, 4, 8, 12)
EXPECTED = np.array([8.5, -1.5, -1.1])
SPREAD = np.array([2.0, 0.65, 0.39])

Drive = Literal["log", "visits", "curve"]


@dataclass(frozen=True)
class Faults:
    """In what the invented instrument departs from the model."""

    name: str
    off_grid: bool = False
    shared_errors: bool = False
    curve_off: bool = False
    reading_cents: float = 0.0


FAULTS = (
    Faults("none: drawn from the model"),
    Faults("time constants off the grid", off_grid=True),
    Faults("errors shared by the registers", shared_errors=True),
    Faults("seasonal curve 15 % and 9 days off", curve_off=True),
    Faults("1.5 cents of reading error more", reading_cents=1.5),
    Faults("all four", True, True, True, 1.5),
)


@dataclass(frozen=True)
class Truth:
    """One invented instrument: coefficients (9), time constants, its air and how it is known."""

    coefficients: Column
    error: float
    correlation: float
    constant: float
    settling: float
    curve: Curve
    departures: Column
    drive: Drive


@dataclass(frozen=True)
class Outcome:
    """What was said of an instrument and what was true."""

    swing: Estimate
    true_swing: float
    forecast: Estimate
    true_pitch: float
    drive: Drive

    @property
    def swing_held(self) -> bool:
        return self.swing.low <= self.true_swing <= self.swing.high

    @property
    def forecast_held(self) -> bool:
        return self.forecast.low <= self.true_pitch <= self.forecast.high


def drawn(dice: np.random.Generator, faults: Faults, days: int, priors: Priors) -> Truth:
    """An instrument from the starting values, its error and its coefficients together."""
    shape = priors.error_shape
    variance = priors.error**2 * (shape - 1.0) / dice.gamma(shape)
    means = np.repeat([row.mean for row in priors.rows], 3)
    root = np.linalg.cholesky(covariance(priors)) * np.sqrt(variance) / priors.error
    constant = float(dice.choice(CONSTANTS_DAYS, p=constant_weights()))
    settling = float(dice.choice(SETTLING_DAYS, p=SETTLING_WEIGHTS))
    if faults.off_grid:
        constant, settling = (
            float(np.exp(dice.uniform(*np.log(ends)))) for ends in ((7.0, 60.0), (4.0, 40.0))
        )
    mean, wider, later = SPREAD * dice.normal(size=3)
    size = float(np.hypot(*EXPECTED[1:]))
    wave = complex(*EXPECTED[1:]) / size * complex(max(size + wider, 0.2), later)
    fades = float(np.exp(-1.0 / HOLD_DAYS))
    shocks = dice.normal(size=days) * DEPARTURE * np.sqrt(1.0 - fades**2)
    shocks[0] = DEPARTURE * dice.normal()
    return Truth(
        coefficients=means + root @ dice.normal(size=9),
        error=float(np.sqrt(variance)),
        correlation=0.98 if faults.shared_errors else float(dice.choice(CORRELATIONS)),
        constant=constant,
        settling=settling,
        curve=Curve(float(EXPECTED[0] + mean), wave.real, wave.imag, np.zeros((3, 3)), "log"),
        departures=lfilter([1.0], [1.0, -fades], shocks),
        drive=("log", "visits", "visits", "curve")[dice.integers(4)],
    )


def air_and_wood(truth: Truth) -> tuple[Column, Column]:
    """The air's and the wood's moisture, %, day by day from `BEGINS`, as they truly were."""
    days = BEGINS + np.arange(len(truth.departures), dtype=np.float64)
    turn = 2.0 * np.pi / YEAR_DAYS
    slow = turn * truth.constant
    at = turn * days
    curve = truth.curve
    air = curve.mean + curve.cosine * np.cos(at) + curve.sine * np.sin(at)
    late = at - np.arctan(slow)
    year = (curve.cosine * np.cos(late) + curve.sine * np.sin(late)) / np.sqrt(1.0 + slow**2)
    keeps = float(np.exp(-1.0 / truth.constant))
    # The wood at the start of a day has seen the days before it.
    lagged = lfilter([0.0, 1.0 - keeps], [1.0, -keeps], truth.departures)
    return air + truth.departures, curve.mean + year + lagged


def visit_days(dice: np.random.Generator, count: int) -> list[int]:
    """Days since `BEGINS` of the visits and of one reading more, half-yearly or yearly."""
    step = dice.choice([182, 365])
    gaps = step + dice.integers(-45, 46, size=count - 1)
    ahead = int(dice.integers(60, 420))
    return [int(day) for day in WARM_UP_DAYS + np.cumsum([0, *gaps.tolist(), ahead])]


def simulated(
    dice: np.random.Generator,
    visits: int,
    faults: Faults,
    population: Priors = STARTING,
    priors: Priors = STARTING,
) -> tuple[Outcome, Fit]:
    """One invented instrument, told of by `visits` visits and asked for what comes after.

    `population`: where it is drawn from; `priors`: what it is fitted with.
    """
    days = visit_days(dice, visits)
    truth = drawn(dice, faults, days[-1] + 1, population)
    air, wood = air_and_wood(truth)
    series, pitch = _told(dice, truth, days, wood[days], faults)
    room = _room(dice, truth, days[:-1], air, faults)
    at_visits = BEGINS + np.array(days[:-1], dtype=np.float64)
    readings = air[days[:-1]] if truth.drive == "visits" else np.full(visits, np.nan)
    known = states(room, at_visits, readings)
    found = fit(as_rows(series.comparisons), known, priors)
    work = Work(series, known, room, readings, found)
    lines = forecast(work, (date.fromordinal(BEGINS + days[-1]),))
    assert not isinstance(lines, NotEnough)
    slow = 2.0 * np.pi / YEAR_DAYS * truth.constant
    wide = 2.0 * truth.curve.amplitude / np.sqrt(1.0 + slow**2)
    outcome = Outcome(
        swing=swing(work).cents,
        true_swing=float(SHARES @ truth.coefficients[:3] * wide),
        forecast=lines[0].overall,
        true_pitch=float(SHARES @ pitch),
        drive=truth.drive,
    )
    return outcome, found


def _told(
    dice: np.random.Generator, truth: Truth, days: list[int], wood: Column, faults: Faults
) -> tuple[Series, Column]:
    """The pitch visit by visit, and as it is found at the last of `days`, cents by register."""
    root = np.linalg.cholesky(truth.correlation + (1.0 - truth.correlation) * np.eye(3))
    reading = READING_CENTS / STARTING.error * truth.error
    other = np.sqrt(truth.error**2 - reading**2)
    response, fall, share = truth.coefficients.reshape(3, 3)
    raised = np.clip(dice.normal(18.0, 12.0), -10.0, 60.0) * np.ones(3)
    stands, set_day = np.zeros(3), days[0]
    known = _known(0, days[0], stands, raised, set_day, read=False)
    comparisons: list[Comparison] = []
    found = stands
    for place in range(1, len(days)):
        before, day = days[place - 1], days[place]
        run = np.exp(-(before - set_day) / truth.settling) - np.exp(
            -(day - set_day) / truth.settling
        )
        stands = stands + response * (wood[place] - wood[place - 1]) - share * raised * run
        stands = stands + fall * (day - before) / YEAR_DAYS + other * root @ dice.normal(size=3)
        misread = reading * root @ dice.normal(size=3) + faults.reading_cents * dice.normal(size=3)
        found = stands + misread
        if place == len(days) - 1:
            break
        comparisons += [
            Comparison(place, BEGINS + day, register, float(found[register]), 0.0, 0.0, item, item)
            for register, item in enumerate(known)
        ]
        tuned = dice.random() < 0.85
        if tuned:
            raised, set_day, stands = -found, day, np.zeros(3)
        known = _known(place, day, stands if tuned else found, raised, set_day, read=not tuned)
    names = tuple(
        (str(place), date.fromordinal(BEGINS + day)) for place, day in enumerate(days[:-1])
    )
    last = known[0], known[1], known[2]
    return Series(names, KEYS, tuple(comparisons), last, len(names) - 1, (), ()), found


def _known(
    visit: int, day: int, cents: Column, raised: Column, set_day: int, *, read: bool
) -> list[Known]:
    return [
        Known(visit, BEGINS + day, float(stood), 0.0, 0.0, read, float(up), BEGINS + set_day, 0.0)
        for stood, up in zip(cents, raised, strict=True)
    ]


def _room(
    dice: np.random.Generator, truth: Truth, visits: list[int], air: Column, faults: Faults
) -> RoomAir:
    """The room as the notes know it: its year from what is expected, its log and its readings."""
    until = visits[-1] + 1
    logged = np.arange(until) if truth.drive == "log" else np.arange(0)
    months = logged[15::30]
    seen = np.array(visits) if truth.drive == "visits" else months
    values = (
        air[seen]
        if truth.drive == "visits"
        else np.array([air[month - 15 : month + 15].mean() for month in months])
    )
    expected = EXPECTED
    if faults.curve_off:
        expected = _off(expected, dice.choice([1.0 / 1.15, 1.15]), dice.choice([-9.0, 9.0]))
    curve = fit_curve(expected, SPREAD, BEGINS + seen.astype(np.float64), values, "climate")
    return RoomAir(curve, (BEGINS + logged).astype(np.int64), air[logged])


def _off(expected: Column, larger: float, later_days: float) -> Column:
    """A year that is larger and later than it should be."""
    turn = 2.0 * np.pi / YEAR_DAYS * later_days
    wave = complex(*expected[1:]) * larger * np.exp(1j * turn)
    return np.array([expected[0], wave.real, wave.imag])


@dataclass(frozen=True)
class Coverage:
    """How often the 80 % intervals held the truth, over instruments of one kind."""

    faults: Faults
    visits: int
    swing: float
    forecast: float
    swing_width: float
    forecast_width: float


def coverage(faults: Faults, visits: int, count: int) -> Coverage:
    """Coverage and median width in cents over `count` instruments, the dice always the same."""
    dice = np.random.default_rng([SEED, visits])
    found = [simulated(dice, visits, faults)[0] for _ in range(count)]
    return Coverage(
        faults=faults,
        visits=visits,
        swing=float(np.mean([one.swing_held for one in found])),
        forecast=float(np.mean([one.forecast_held for one in found])),
        swing_width=float(np.median([one.swing.high - one.swing.low for one in found])),
        forecast_width=float(np.median([one.forecast.high - one.forecast.low for one in found])),
    )


def table(lines: list[Coverage]) -> str:
    """The coverage as a Markdown table, a line each."""
    rows = [
        f"| {line.faults.name} | {line.visits} | {line.swing:.3f} | {line.forecast:.3f} |"
        f" {line.swing_width:.1f} | {line.forecast_width:.1f} |"
        for line in lines
    ]
    head = "| what is wrong | visits | swing | forecast | width of swing | width of forecast |"
    return "\n".join([head, "|---|---|---|---|---|---|", *rows, ""])
